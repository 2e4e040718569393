import { describe, expect, it } from 'vitest';
import { ears } from '../caregiver.ts';

/** What caregivers type in Korean, with endings and particles as they come (common practice of the language). */
describe('things named in Korean', () => {
  it.each([
    ['care-needs', '6주 일찍 태어났어요', ['born-early']],
    ['care-needs', '천식이 있어요', ['medical']],
    ['seat-history', '라벨이 떨어졌어요', ['label-missing']],
    ['seat-history', '사촌 언니한테 물려받았어요 사고 난 적 없어요', ['second-hand-known']],
    ['seat-history', '벼룩시장에서 샀고 등록은 안 했어요', ['second-hand-unknown', 'not-registered']],
    ['crash-details', '에어백이 터졌어요', ['air-bags-deployed']],
    ['crash-details', '다친 사람은 없었고 견인됐어요', ['not-drivable']],
    ['install-check', '카시트가 흔들려요', ['moves']],
    ['install-check', '안 움직여요 근데 벨트가 꼬였어요', ['twisted']],
    ['harness-check', '코트는 안 입었어요 근데 끈이 잡혀요', ['pinchable']],
    ['harness-check', '가슴클립이 너무 낮아요', ['clip-low']],
    ['harness-check', '어깨보다 위에서 나와요', ['straps-above']],
    ['belt-check', '벨트가 목에 닿아요', ['on-neck']],
    ['belt-check', '등 뒤로 넘겼어요', ['behind-back']],
    ['vehicle-hardware', '2점식 벨트예요', ['lap-only']],
    ['vehicle-hardware', '래치가 없어요', ['no-lower-anchors']],
    ['attachment', '안전벨트로 고정했어요', ['seat-belt']],
    ['attachment', '래치로 했어요', ['lower-anchors']],
    ['attachment', '래치랑 벨트 둘 다 써요', ['both']],
    ['tether', '안 걸려 있어요', ['not-attached']],
    ['tether', '잘 걸려 있어요', ['attached']],
    ['position', '조수석 뒤에 앉아요', ['p2R']],
    ['position', '운전석 뒷자리', ['p2L']],
    ['position', '세번째줄 왼쪽이요', ['p3L']],
    ['position', '뒷자리 가운데요', ['p2C']],
    ['front-air-bag', '에어백 꺼져있어요', ['off']],
    ['front-air-bag', '에어백은 없어요', ['none']],
    ['sex', '딸이에요', ['female']],
    ['sex', '남자아이예요', ['male']],
    ['acquired', '새거요', ['new']],
    ['acquired', '거라지세일에서 샀어요', ['unknown-second-hand']],
    ['recall', '확인해 본 적 없어요', ['unchecked']],
    ['recall', '수리 받았어요', ['remedied']],
    ['belt-path', '뒤보기 경로로요', ['rear-facing']],
    ['belt-path', '앞보기 쪽이요', ['forward-facing']],
    ['recline', '너무 누워있어요', ['too-reclined']],
    ['recline', '너무 서 있어요', ['too-upright']],
    ['straps', '어깨랑 같은 높이예요', ['at']],
    ['straps', '아래쪽이요', ['below']],
    ['chest-clip', '겨드랑이 높이예요', ['armpit']],
    ['chest-clip', '배에 있어요', ['low']],
    ['seat-kind', '카시트가 없어요', ['no-seat']],
    ['seat-kind', '아직 안 샀어요', ['no-seat']],
    ['harness-check', '패딩은 벗겼어요', []],
  ] as const)('%s: %s', (group, text, ids) => {
    // `denied` takes in what is said not to be there; it is no choice of any question.
    const named = ears.keywords(text, 'ko', group).filter((id) => id !== 'denied');
    expect(named.sort()).toEqual([...ids].sort());
  });
});

describe('an emergency in Korean', () => {
  it.each([
    ['방금 사고 났어요 애가 피를 흘려요', true],
    ['아기가 숨을 안 쉬어요', true],
    ['애기 숨안쉬어요 빨리', true],
    ['애가 의식이 없어요', true],
    ['입술이 파래졌어요', true],
    ['아이가 안 깨어나요', true],
    ['차에 갇혔어요', true],
    ['피가 많이 나요', true],
    ['작년에 교통사고 났어요', false],
    ['3년 전에 사고 났을 때 피가 났어요', false],
    ['카시트는 사고 난 적이 없어요', false],
    ['태어났을 때 숨을 안 쉬었는데 지금은 괜찮아요', false],
    ['요즘 정신이 없어요', false],
  ] as const)('%s', (text, urgent) => {
    expect(ears.emergency(text)).toBe(urgent);
  });
});

describe('a number of children in Korean', () => {
  it.each([
    ['두 명이요', 2],
    ['하나요', 1],
    ['쌍둥이예요', 2],
    ['외동이에요', 1],
  ] as const)('%s', (text, count) => {
    expect(ears.count(text, 'ko')).toBe(count);
  });
});
