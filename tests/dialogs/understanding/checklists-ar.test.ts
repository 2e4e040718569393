import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import words from '#locales/ar/checklists.json' with { type: 'json' };
import { ears } from '../caregiver.ts';

const chat = JSON.parse(readFileSync(new URL('../../../locales/ar/chat.json', import.meta.url), 'utf8'));

/** Source of the phrases: common practice of spoken and written Arabic (Gulf, Levantine, Egyptian, standard). */
describe('Arabic emergencies', () => {
  it.each([
    'وقع من الكرسي وينزف',
    'البيبي ازرق وما عم يتنفس',
    'صدمنا عمود ومغمى عليه',
    'ابني ما بيتنفس، مولود في 2025',
    'ابني ما بيتنفس',
    'البنت مش عم تتنفس ولونها ازرق',
    'طفلي لا يتنفّس!',
    'مابيتنفسش الحقوني',
    'ولدي ما يتنفس وعمره أقل من سنة',
    'مو قادر يتنفس',
    'هلق صار معنا حادث بالطريق',
    'صار لنا حادث قبل شوي والولد يبكي',
    'لسه عاملين حادثة بالعربية',
    'الحين صدمنا',
    'البيبي مغمى عليه',
    'بنتي فاقدة الوعي',
    'ما عم يصحى أبداً',
    'راسه عم ينزف',
    'الولد محبوس بالسيارة',
    'اتصلوا بالإسعاف',
    'بنتي تختنق',
    'السيارة تحترق',
    'he is not breathing',
  ])('fire: %s', (text) => {
    expect(ears.emergency(text)).toBe(true);
  });

  it.each([
    'الكرسي كان بحادث السنة الماضية',
    'صار معنا حادث قبل سنتين',
    'لما انولد ما كان يتنفس منيح وحطوه على اكسجين',
    'عند الولادة ما يتنفس وحده',
    'ما صار عليه حادث ابدا',
    'ابني عنده ربو',
    'الكرسي لا يتحرك',
    'بنتي نايمة بالكرسي',
    'هلا وغلا',
    'الحزام مرخي',
    'الكرسي لونه ازرق',
    'ما نزف ابدا الحمد لله',
    'وقفنا عند الاشارة',
  ])('do not fire: %s', (text) => {
    expect(ears.emergency(text)).toBe(false);
  });
});

describe('Arabic words for things', () => {
  const named = Object.entries(words.groups).flatMap(([group, ids]) =>
    Object.keys(ids).flatMap((id) => {
      const text: unknown = chat.choice[group]?.[id];
      return typeof text === 'string' ? [[group, id, text] as const] : [];
    }),
  );

  it.each(named)('%s: the text of the choice %s is read back as that choice', (group, id, text) => {
    expect(ears.keywords(text, 'ar', group)).toEqual([id]);
  });

  it.each([
    ['care-needs', 'انولد قبل موعده', ['born-early']],
    ['care-needs', 'عنده ربو', ['medical']],
    ['seat-history', 'من أختي وما صار عليه حادث', ['second-hand-known']],
    ['seat-history', 'من أختي وما شيكنا الاستدعاء', ['recall-unchecked', 'second-hand-known']],
    ['seat-history', 'الملصق ضايع', ['label-missing']],
    ['seat-history', 'اشتريناه جديد من المحل', ['new']],
    ['crash-details', 'الإيرباق انفتح', ['air-bags-deployed']],
    ['crash-details', 'سحبوها بسطحة', ['not-drivable']],
    ['crash-details', 'الكل بخير والسيارة سليمة', []],
    ['install-check', 'بيتحرك كتير والحزام ملوي', ['moves', 'twisted']],
    ['install-check', 'ما بيتحرك', []],
    ['install-check', 'الحزام مش مقفول', ['belt-unlocked']],
    ['harness-check', 'لابس جاكيت', ['coat']],
    ['harness-check', 'المشبك على البطن والأحزمة مرخية', ['clip-low', 'pinchable']],
    ['belt-check', 'على رقبته', ['on-neck']],
    ['belt-check', 'ورا ضهرها', ['behind-back']],
    ['vehicle-hardware', 'مافي نقاط تثبيت', ['no-lower-anchors']],
    ['vehicle-hardware', 'حزام خصر بس', ['lap-only']],
    ['attachment', 'بالحزام', ['seat-belt']],
    ['attachment', 'ايزوفكس', ['lower-anchors']],
    ['attachment', 'مفيش حاجة ماسكاه', ['none']],
    ['tether', 'اي مشبوك', ['attached']],
    ['tether', 'لا مش مشبوك', ['not-attached']],
    ['position', 'ورا السايق', ['p2L']],
    ['position', 'في النص', ['p2C']],
    ['position', 'جنب السواق', ['p1R']],
    ['position', 'الصف الثالث يمين', ['p3R']],
    ['front-air-bag', 'لا يوجد', ['none']],
    ['front-air-bag', 'مطفي', ['off']],
    ['sex', 'بنوتة', ['female']],
    ['sex', 'ولد', ['male']],
    ['acquired', 'مستعمل من اختي', ['known-second-hand', 'unknown-second-hand']],
    ['recall', 'ما في استدعاء', ['none']],
    ['recall', 'ما شيكنا', ['unchecked']],
    ['belt-path', 'المسار الخلفي', ['rear-facing']],
    ['belt-path', 'للأمام', ['forward-facing']],
    ['recline', 'مايل كتير', ['too-reclined']],
    ['recline', 'مضبوط', ['in-range']],
    ['straps', 'تحت الكتف', ['below']],
    ['straps', 'نفس المستوى', ['at']],
    ['chest-clip', 'على البطن', ['low']],
    ['chest-clip', 'عند الإبط', ['armpit']],
    ['seat-kind', 'ما عندنا كرسي', ['no-seat']],
    ['seat-kind', 'مفيش كرسي', ['no-seat']],
  ] as const)('%s: %s', (group, text, ids) => {
    expect([...ears.keywords(text, 'ar', group)].sort()).toEqual([...ids].sort());
  });

  it.each([
    ['توأم', 2],
    ['بس واحد', 1],
    ['طفلين', 2],
    ['تلات اولاد', 3],
    ['4', 4],
  ] as const)('a number of children: %s', (text, count) => {
    expect(ears.count(text, 'ar')).toBe(count);
  });
});
