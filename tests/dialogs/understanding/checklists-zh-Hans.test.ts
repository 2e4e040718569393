import { describe, expect, it } from 'vitest';
import { ears } from '../caregiver.ts';

/** What caregivers type in Chinese, in simplified or traditional characters (common practice of the language). */
describe('things named in Chinese', () => {
  it.each([
    ['care-needs', '他早产了六周', ['born-early']],
    ['care-needs', '他有哮喘', ['medical']],
    ['seat-history', '标签不见了，买的新的', ['label-missing', 'new']],
    ['seat-history', '没出过车祸，是表姐给的', ['second-hand-known']],
    ['crash-details', '气囊都弹出来了', ['air-bags-deployed']],
    ['crash-details', '没有人受伤，车被拖走了', ['not-drivable']],
    ['install-check', '座椅会晃', ['moves']],
    ['install-check', '带子扭了', ['twisted']],
    ['harness-check', '没穿厚外套，但是能捏起来', ['pinchable']],
    ['harness-check', '胸扣太低了', ['clip-low']],
    ['harness-check', '帶子比肩膀高', ['straps-above']],
    ['belt-check', '勒脖子', ['on-neck']],
    ['belt-check', '安全带在肚子上', ['lap-on-belly']],
    ['vehicle-hardware', '只有两点式的', ['lap-only']],
    ['vehicle-hardware', '没有latch', ['no-lower-anchors']],
    ['attachment', '用车上的安全带', ['seat-belt']],
    ['attachment', '用latch固定的', ['lower-anchors']],
    ['attachment', '安全带和latch都用', ['both']],
    ['tether', '没挂上', ['not-attached']],
    ['tether', '已经挂好了', ['attached']],
    ['position', '副驾驶座后面', ['p2R']],
    ['position', '司机的后面', ['p2L']],
    ['position', '第三排左边', ['p3L']],
    ['position', '後排中間', ['p2C']],
    ['front-air-bag', '气囊关掉了', ['off']],
    ['front-air-bag', '没有气囊', ['none']],
    ['sex', '是个小姑娘', ['female']],
    ['sex', '男宝', ['male']],
    ['acquired', '跳蚤市场买的', ['unknown-second-hand']],
    ['acquired', '全新', ['new']],
    ['recall', '还没查过', ['unchecked']],
    ['recall', '已经修好了', ['remedied']],
    ['belt-path', '朝后的那个', ['rear-facing']],
    ['belt-path', '正向的', ['forward-facing']],
    ['recline', '太直了', ['too-upright']],
    ['recline', '往后躺得太多，太平', ['too-reclined']],
    ['straps', '跟肩膀一样高', ['at']],
    ['straps', '在下面', ['below']],
    ['chest-clip', '在腋窝的位置', ['armpit']],
    ['chest-clip', '在肚子那里', ['low']],
    ['seat-kind', '我们没有安全座椅', ['no-seat']],
    ['seat-kind', '还没买', ['no-seat']],
    ['harness-check', '外套脱了', []],
  ] as const)('%s: %s', (group, text, ids) => {
    // `denied` takes in what is said not to be there; it is no choice of any question.
    const named = ears.keywords(text, 'zh-Hans', group).filter((id) => id !== 'denied');
    expect(named.sort()).toEqual([...ids].sort());
  });
});

describe('an emergency in Chinese', () => {
  it.each([
    ['我们刚刚出车祸了，孩子在流血', true],
    ['宝宝没有呼吸了', true],
    ['孩子怎么叫都叫不醒', true],
    ['寶寶臉發紫', true],
    ['她昏过去了快救命', true],
    ['刚才在路上被追尾了', true],
    ['孩子卡在车里', true],
    ['五分钟前撞车了', true],
    ['座椅去年出过车祸', false],
    ['三年前刚撞车的时候他昏迷了', false],
    ['座椅没出过事故', false],
    ['出生时没有呼吸，现在都好了', false],
    ['我没意识到座椅过期了', false],
    ['前面的轮胎没气了', false],
  ] as const)('%s', (text, urgent) => {
    expect(ears.emergency(text)).toBe(urgent);
  });
});

describe('a number of children in Chinese', () => {
  it.each([
    ['两个', 2],
    ['就一个', 1],
    ['双胞胎', 2],
    ['三个孩子', 3],
  ] as const)('%s', (text, count) => {
    expect(ears.count(text, 'zh-Hans')).toBe(count);
  });
});
