import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import words from '#locales/so/checklists.json' with { type: 'json' };
import { ears } from '../caregiver.ts';

const chat = JSON.parse(readFileSync(new URL('../../../locales/so/chat.json', import.meta.url), 'utf8'));

/** Source of the phrases: common practice of Somali as typed on a phone, in its northern and southern spellings. */
describe('Somali emergencies', () => {
  it.each([
    'ilmuhu ma neefsanayo, wuxuu dhashay 2025',
    'ilmuhu ma neefsanayo',
    'gabadhaydu ma neefsanayso!',
    'wiilkaygu neefsan maayo',
    "neeftu way ka go'day, neefta ka go'day",
    'neefsan kari waayay',
    'hadda shil ayaan galnay',
    'shil baa nagu dhacay hadda',
    'daqiiqad ka hor? haa, shil baan galnay daqiiqad ka hor',
    'hada ayaan shil galnay',
    'wuu suuxay',
    'way suuxday oo ma toosayso',
    'dhiig baa ka socda madaxa',
    'miyir beelay',
    'wac 911',
    'ilmihii gaariga ayuu ku xirmay',
    'buluug ayuu noqday',
    'not breathing',
  ])('fire: %s', (text) => {
    expect(ears.emergency(text)).toBe(true);
  });

  it.each([
    'kursigu shil buu galay sanadkii hore',
    'hadda shil ayaan galnay ma ahan, laba sano ka hor ayay ahayd',
    'markuu dhashay ma neefsanayo waa la caawiyay',
    'shil ma gelin',
    'xiiq ayuu qabaa',
    'kursigu ma dhaqaaqo',
    'gaariga ayaan ku xirnay kursiga',
    'hadda waa sagaal bilood',
    "su'aashan ma jawaabayo",
    'kursigu gaariga ku dhex xiran yahay',
    'kursigu waa buluug',
  ])('do not fire: %s', (text) => {
    expect(ears.emergency(text)).toBe(false);
  });
});

describe('Somali words for things', () => {
  const named = Object.entries(words.groups).flatMap(([group, ids]) =>
    Object.keys(ids).flatMap((id) => {
      const text: unknown = chat.choice[group]?.[id];
      return typeof text === 'string' ? [[group, id, text] as const] : [];
    }),
  );

  it.each(named)('%s: the text of the choice %s is read back as that choice', (group, id, text) => {
    expect(ears.keywords(text, 'so', group)).toEqual([id]);
  });

  it.each([
    ['care-needs', 'waqtigiisa ka hor ayuu dhashay', ['born-early']],
    ['care-needs', 'xiiq bay qabtaa', ['medical']],
    ['seat-history', 'walaashay ayaa i siisay, shil ma gelin', ['second-hand-known']],
    ['seat-history', 'cusub', ['new']],
    ['seat-history', 'lama diiwaangelin', ['not-registered']],
    ['seat-history', 'qayb baa ka maqan', ['parts-missing']],
    ['crash-details', 'airbag baa furmay', ['air-bags-deployed']],
    ['crash-details', 'gaarigii waa la jiiday', ['not-drivable']],
    ['install-check', 'wuu dhaqaaqayaa suunkuna wuu maroorsan yahay', ['moves', 'twisted']],
    ['install-check', 'suunku ma qufulna', ['belt-unlocked']],
    ['harness-check', 'jaakad buu xiran yahay', ['coat']],
    ['harness-check', 'suumanku garbaha way ka sarreeyaan, garbaha ka sarreeya', ['straps-above']],
    ['belt-check', 'caloosha ayuu saaran yahay', ['lap-on-belly']],
    ['belt-check', 'dhabarka gadaashiisa', ['behind-back']],
    ['vehicle-hardware', 'latch ma leh', ['no-lower-anchors']],
    ['vehicle-hardware', 'suunku dhexda kaliya', ['lap-only']],
    ['attachment', 'suunka gaariga', ['seat-belt']],
    ['attachment', 'qabatooyinka hoose', ['lower-anchors']],
    ['attachment', 'waxba kuma xirna', ['none']],
    ['tether', 'way xiran tahay', ['attached']],
    ['tether', 'maya, kuma xirna', ['not-attached']],
    ['tether', 'way laalaadaa', ['not-attached']],
    ['position', 'darawalka gadaashiisa', ['p2L']],
    ['position', 'dhexda', ['p2C']],
    ['position', 'safka saddexaad, midig', ['p3R']],
    ['position', 'kursiga hore', ['p1R']],
    ['front-air-bag', 'ma jirto', ['none']],
    ['front-air-bag', 'waa la damiyay', ['off']],
    ['sex', 'gabar', ['female']],
    ['sex', 'waa wiil', ['male']],
    ['acquired', 'cusub', ['new']],
    ['acquired', 'saaxiibaday', ['known-second-hand']],
    ['recall', 'recall ma jiro', ['none']],
    ['recall', 'weli ma hubin', ['unchecked']],
    ['belt-path', 'xagga dambe', ['rear-facing']],
    ['belt-path', 'hore', ['forward-facing']],
    ['recline', 'aad ayuu u taagan yahay', ['too-upright']],
    ['recline', 'waa sax', ['in-range']],
    ['straps', 'way ka hooseeyaan', ['below']],
    ['straps', 'way la siman yihiin', ['at']],
    ['chest-clip', 'caloosha', ['low']],
    ['chest-clip', 'kilkilada', ['armpit']],
    ['seat-kind', 'kursi ma hayno', ['no-seat']],
    ['seat-kind', "kursi la'aan", ['no-seat']],
  ] as const)('%s: %s', (group, text, ids) => {
    expect([...ears.keywords(text, 'so', group)].sort()).toEqual([...ids].sort());
  });

  it.each([
    ['mataano', 2],
    ['hal oo kaliya', 1],
    ['laba', 2],
    ['saddex', 3],
    ['4 carruur ah', 4],
  ] as const)('a number of children: %s', (text, count) => {
    expect(ears.count(text, 'so')).toBe(count);
  });
});
