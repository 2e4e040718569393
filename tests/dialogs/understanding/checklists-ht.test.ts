import { describe, expect, it } from 'vitest';
import { ears } from '../caregiver.ts';

// Phrases as Haitian families type them on a phone, with and without accents: common practice of the language, from
// memory.

describe('an emergency in Haitian Creole', () => {
  it.each([
    ['nou fek fe yon aksidan', true],
    ['Nou fèk sot fè aksidan, pitit mwen blese', true],
    ['yon machin fèk frape nou', true],
    ['bebe m nan pa respire', true],
    ['tibebe a pap respire ankò', true],
    ['li pa ka respire', true],
    ['li sispann respire', true],
    ['pitit la san konesans', true],
    ['tifi m endispoze', true],
    ['li pa vle reveye', true],
    ['bebe a vin ble', true],
    ['l ap senyen anpil nan tèt', true],
    ['l’ap toufe', true],
    ['timoun nan kwense nan machin nan', true],
    ['rele anbilans souple', true],
    ['bebe m gen 2 mwa, li pa respire', true],
    ['chèz la te nan yon aksidan ane pase', false],
    ['nou te fè aksidan sa gen dezan', false],
    ['li te sispann respire lè li te fèt', false],
    ['ane pase li te endispoze', false],
    ['li gen pwoblèm pou respire pafwa', false],
    ['chèz la bloke nan machin nan', false],
    ['li pa bouje ditou', false],
    ['bebe a pa bouje ankò', true],
    ['li konn fè kriz', false],
    ['chèz la ble', false],
    ['nou fèk achte chèz la', false],
    ['li pa dòmi nan machin', false],
  ] as const)('%s: %s', (text, urgent) => {
    expect(ears.emergency(text)).toBe(urgent);
  });
});

describe('things named in Haitian Creole', () => {
  it.each([
    ['age', 'li poko fèt', ['unborn']],
    ['age', 'm ansent', ['unborn']],
    ['age', 'li fèt an me', []],
    ['position', 'dèyè, bò kote pasaje a', ['p2R']],
    ['care-needs', 'li te fet anvan le', ['born-early']],
    ['care-needs', 'wi li prematire', ['born-early']],
    ['care-needs', 'li gen opresyon', ['medical']],
    ['care-needs', 'janm li nan plat', ['medical']],
    ['seat-history', 'nou achte l nèf nan magazen', ['new']],
    ['seat-history', 'sè m te ban mwen l, pa gen etikèt', ['label-missing', 'second-hand-known']],
    ['seat-history', 'nou pa konnen kote l soti', ['second-hand-unknown']],
    ['seat-history', 'yon pyes manke', ['parts-missing']],
    ['seat-history', 'm pa janm anrejistre l', ['not-registered']],
    ['seat-history', 'nou poko tcheke', ['recall-unchecked']],
    ['crash-details', 'yo te remoke machin nan', ['not-drivable']],
    ['crash-details', 'airbag yo pete epi pòt la kraze', ['air-bags-deployed', 'door-damaged']],
    ['crash-details', 'pa gen moun blese', []],
    ['install-check', 'li bouje anpil', ['moves']],
    ['install-check', 'li pa bouje', []],
    ['install-check', 'senti a tòde epi l twò kouche', ['too-reclined', 'twisted']],
    ['install-check', 'senti a pa bloke', ['belt-unlocked']],
    ['harness-check', 'san manto, men m ka pichkannen senti a', ['pinchable']],
    ['harness-check', 'klips la twò ba', ['clip-low']],
    ['harness-check', 'bretèl yo soti anwo zepòl li', ['straps-above']],
    ['belt-check', 'sou kou li', ['on-neck']],
    ['belt-check', 'li pase dèyè do l', ['behind-back']],
    ['belt-check', 'li pa sou vant', []],
    ['vehicle-hardware', 'senti a sèlman sou kwis', ['lap-only']],
    ['vehicle-hardware', 'senti a sou kwis yo selman', ['lap-only']],
    ['vehicle-hardware', 'machin nan pa gen ankraj anba', ['no-lower-anchors']],
    ['attachment', 'ak senti machin nan', ['seat-belt']],
    ['attachment', 'kwochèt yo', ['lower-anchors']],
    ['attachment', 'toulède', ['both']],
    ['tether', 'li pa kwoke', ['not-attached']],
    ['tether', 'wi li kwoke', ['attached']],
    ['position', 'dèyè chofè a', ['p2L']],
    ['position', 'li chita pa dèyè nan mitan', ['p2C']],
    ['position', 'deye a dwat', ['p2R']],
    ['position', 'devan bò kote m', ['p1R']],
    ['position', 'twazyèm ranje nan mitan', ['p3C']],
    ['front-air-bag', 'li etenn', ['off']],
    ['front-air-bag', 'pa gen airbag', ['none']],
    ['sex', 'se yon ti fi', ['female']],
    ['sex', 'tigason', ['male']],
    ['acquired', 'dezyèm men men nou konnen istwa l', ['known-second-hand']],
    ['recall', 'te gen youn epi yo ranje l', ['remedied']],
    ['crash-details', 'airbag yo te soti', ['air-bags-deployed']],
    ['acquired', 'tou nèf', ['new']],
    ['acquired', 'dezyèm men', ['unknown-second-hand']],
    ['recall', 'pa gen rapèl', ['none']],
    ['recall', 'm poko verifye', ['unchecked']],
    ['belt-path', 'sa ki fas deye a', ['rear-facing']],
    ['belt-path', 'chemen fas devan an', ['forward-facing']],
    ['recline', 'li twò dwat', ['too-upright']],
    ['recline', 'li nan zòn nan', ['in-range']],
    ['straps', 'pi wo', ['above']],
    ['straps', 'nan menm nivo', ['at']],
    ['chest-clip', 'sou pwatrin li', ['armpit']],
    ['chest-clip', 'sou vant lan', ['low']],
    ['seat-kind', 'nou pa gen chèz', ['no-seat']],
    ['seat-kind', 'm pa genyen', ['no-seat']],
    ['harness-check', 'm renmen tòti', []],
  ] as const)('%s: %s', (group, text, ids) => {
    expect([...ears.keywords(text, 'ht', group)].sort()).toEqual([...ids].sort());
  });

  it.each([
    ['yon sèl', 1],
    ['marasa', 2],
    ['de', 2],
    ['twa timoun', 3],
  ] as const)('counts children: %s', (text, count) => {
    expect(ears.count(text, 'ht')).toBe(count);
  });
});
