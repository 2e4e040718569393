import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import words from '#locales/vi/checklists.json' with { type: 'json' };
import { ears } from '../caregiver.ts';

const chat = JSON.parse(readFileSync(new URL('../../../locales/vi/chat.json', import.meta.url), 'utf8'));

/** Source of the phrases: common practice of Vietnamese as typed on a phone, north and south, with and without marks. */
describe('Vietnamese emergencies', () => {
  it.each([
    'bé sinh năm 2025, không thở',
    'bé không thở',
    'con tôi ko thở được',
    'chau khong tho nua',
    'bé ngừng thở rồi!!',
    'chúng tôi vừa bị tai nạn',
    'mới đụng xe xong',
    'hồi nãy bị xe tông',
    'vua bi tai nan xe',
    'con tôi bất tỉnh',
    'kêu hoài không dậy',
    'bé đang chảy máu đầu',
    'chay mau nhieu qua',
    'bé bị kẹt trong xe',
    'mặt tím tái rồi',
    'gọi cấp cứu giùm',
    'bé nằm ngoài đường không thở',
    'cháu không thở lâu rồi',
    'not breathing',
  ])('fire: %s', (text) => {
    expect(ears.emergency(text)).toBe(true);
  });

  it.each([
    'ghế bị tai nạn năm ngoái',
    'vừa bị tai nạn tháng trước',
    'lúc mới sinh bé không thở được',
    'mấy năm trước xe mới bị đụng',
    'chưa bao giờ bị tai nạn',
    'bé bị suyễn',
    'ghế bị kẹt',
    'tôi đang chạy xe',
    'mới mua ghế',
    'không thơm',
    'ghế da màu tím',
    'ghế bị tai nạn xong thì mẹ đổi ghế mới',
    'bé đang ngủ',
  ])('do not fire: %s', (text) => {
    expect(ears.emergency(text)).toBe(false);
  });
});

describe('Vietnamese words for things', () => {
  const named = Object.entries(words.groups).flatMap(([group, ids]) =>
    Object.keys(ids).flatMap((id) => {
      const text: unknown = chat.choice[group]?.[id];
      return typeof text === 'string' ? [[group, id, text] as const] : [];
    }),
  );

  it.each(named)('%s: the text of the choice %s is read back as that choice', (group, id, text) => {
    expect(ears.keywords(text, 'vi', group)).toEqual([id]);
  });

  it.each([
    ['care-needs', 'bé sinh non', ['born-early']],
    ['care-needs', 'cháu bị suyễn', ['medical']],
    ['care-needs', 'không bệnh gì hết', []],
    ['seat-history', 'chị tôi cho, chưa bị tai nạn lần nào', ['second-hand-known']],
    ['seat-history', 'mua mới', ['new']],
    ['seat-history', 'chua dang ky', ['not-registered']],
    ['seat-history', 'nhãn bị rách', ['label-missing']],
    ['crash-details', 'túi khí bung', ['air-bags-deployed']],
    ['crash-details', 'xe bị kéo đi', ['not-drivable']],
    ['install-check', 'ghế lung lay, dây bị xoắn', ['moves', 'twisted']],
    ['install-check', 'không lung lay', []],
    ['install-check', 'dây không khóa', ['belt-unlocked']],
    ['harness-check', 'mặc áo khoác, dây lỏng', ['coat', 'pinchable']],
    ['harness-check', 'kẹp ngực thấp quá', ['clip-low']],
    ['belt-check', 'dây nằm ngang bụng', ['lap-on-belly']],
    ['belt-check', 'sau lưng', ['behind-back']],
    ['vehicle-hardware', 'hổng có móc', ['no-lower-anchors']],
    ['vehicle-hardware', 'dây chỉ vắt ngang hông', ['lap-only']],
    ['attachment', 'dây an toàn', ['seat-belt']],
    ['attachment', 'móc dưới', ['lower-anchors']],
    ['attachment', 'không có gì giữ', ['none']],
    ['tether', 'móc rồi', ['attached']],
    ['tether', 'chưa móc', ['not-attached']],
    ['tether', 'ko co moc', ['not-attached']],
    ['position', 'sau lưng tài xế', ['p2L']],
    ['position', 'ở giữa', ['p2C']],
    ['position', 'con trai tôi ngồi ghế trước', ['p1R']],
    ['position', 'hàng thứ ba bên phải', ['p3R']],
    ['front-air-bag', 'không có túi khí', ['none']],
    ['front-air-bag', 'tắt rồi', ['off']],
    ['sex', 'bé gái', ['female']],
    ['sex', 'con trai', ['male']],
    ['acquired', 'mới', ['new']],
    ['acquired', 'bạn cho', ['known-second-hand']],
    ['recall', 'chưa kiểm tra', ['unchecked']],
    ['recall', 'không bị thu hồi', ['none']],
    ['belt-path', 'quay sau', ['rear-facing']],
    ['belt-path', 'phía trước', ['forward-facing']],
    ['recline', 'thẳng quá', ['too-upright']],
    ['recline', 'đúng mức', ['in-range']],
    ['straps', 'dưới vai', ['below']],
    ['straps', 'ngang vai', ['at']],
    ['chest-clip', 'ngang nách', ['armpit']],
    ['chest-clip', 'ở bụng', ['low']],
    ['seat-kind', 'chưa có ghế', ['no-seat']],
    ['seat-kind', 'ko co ghe', ['no-seat']],
  ] as const)('%s: %s', (group, text, ids) => {
    expect([...ears.keywords(text, 'vi', group)].sort()).toEqual([...ids].sort());
  });

  it.each([
    ['sinh đôi', 2],
    ['chỉ một', 1],
    ['hai đứa', 2],
    ['ba bé', 3],
    ['4', 4],
  ] as const)('a number of children: %s', (text, count) => {
    expect(ears.count(text, 'vi')).toBe(count);
  });
});
