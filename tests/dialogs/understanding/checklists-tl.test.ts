import { describe, expect, it } from 'vitest';
import { ears } from '../caregiver.ts';

/** What caregivers type in Tagalog, with its short words of politeness and its English loans (common practice). */
describe('things named in Tagalog', () => {
  it.each([
    ['care-needs', 'kulang po sya sa buwan, premature', ['born-early']],
    ['care-needs', 'may hika po siya', ['medical']],
    ['seat-history', 'burado na yung label', ['label-missing']],
    ['seat-history', 'galing sa pinsan ko, hindi pa naaksidente', ['second-hand-known']],
    ['seat-history', 'nabili sa ukay, hindi pa nakarehistro', ['second-hand-unknown', 'not-registered']],
    ['crash-details', 'pumutok yung airbag', ['air-bags-deployed']],
    ['crash-details', 'wala namang nasaktan pero na-tow', ['not-drivable']],
    ['install-check', 'gumagalaw po sya', ['moves']],
    ['install-check', 'hindi gumagalaw pero pilipit ang strap', ['twisted']],
    ['harness-check', 'walang jacket pero nakukurot ko', ['pinchable']],
    ['harness-check', 'masyadong mababa yung clip', ['clip-low']],
    ['harness-check', 'mas mataas sa balikat niya', ['straps-above']],
    ['belt-check', 'tumatama sa leeg', ['on-neck']],
    ['belt-check', 'nasa tiyan po', ['lap-on-belly']],
    ['vehicle-hardware', 'lap belt lang po', ['lap-only']],
    ['vehicle-hardware', 'walang lower anchors', ['no-lower-anchors']],
    ['attachment', 'seatbelt po', ['seat-belt']],
    ['attachment', 'yung mga hook sa baba', ['lower-anchors']],
    ['attachment', 'seatbelt at latch', ['both']],
    ['tether', 'hindi po nakakabit', ['not-attached']],
    ['tether', 'nakakabit naman po', ['attached']],
    ['position', 'sa likod ng driver', ['p2L']],
    ['position', 'likod ng passenger seat', ['p2R']],
    ['position', 'third row sa kaliwa', ['p3L']],
    ['position', 'sa gitna po', ['p2C']],
    ['front-air-bag', 'naka-off ang airbag', ['off']],
    ['front-air-bag', 'walang airbag', ['none']],
    ['sex', 'babae po', ['female']],
    ['sex', 'lalake', ['male']],
    ['acquired', 'bagong bili', ['new']],
    ['acquired', 'sa garage sale', ['unknown-second-hand']],
    ['recall', 'hindi ko pa nacheck', ['unchecked']],
    ['recall', 'napalitan na po', ['remedied']],
    ['belt-path', 'yung pang rear facing', ['rear-facing']],
    ['belt-path', 'forward facing po', ['forward-facing']],
    ['recline', 'masyadong nakahiga', ['too-reclined']],
    ['recline', 'sobrang tuwid', ['too-upright']],
    ['straps', 'kapantay ng balikat', ['at']],
    ['straps', 'nasa ibaba', ['below']],
    ['chest-clip', 'sa kilikili', ['armpit']],
    ['chest-clip', 'nasa tiyan', ['low']],
    ['seat-kind', 'wala pa po kaming car seat', ['no-seat']],
    ['seat-kind', 'hindi pa kami nakakabili', ['no-seat']],
    ['harness-check', 'tinanggal na ang jacket', []],
  ] as const)('%s: %s', (group, text, ids) => {
    // `denied` takes in what is said not to be there; it is no choice of any question.
    const named = ears.keywords(text, 'tl', group).filter((id) => id !== 'denied');
    expect(named.sort()).toEqual([...ids].sort());
  });
});

describe('an emergency in Tagalog', () => {
  it.each([
    ['hindi na po humihinga ang anak ko', true],
    ['di makahinga si baby', true],
    ['nawalan po siya ng malay', true],
    ['dumudugo ang ulo niya', true],
    ['kakabangga lang namin', true],
    ['nabangga po kami ngayon lang', true],
    ['nangingitim na yung labi', true],
    ['nakulong sa loob ng kotse yung bata', true],
    ['hindi siya magising', true],
    ['nabangga kami last year', false],
    ['naaksidente yung upuan dalawang taon na ang nakalipas', false],
    ['hindi pa naaksidente ang upuan', false],
    ['nung pinanganak siya hindi siya humihinga pero ok na', false],
    ['may hika siya', false],
  ] as const)('%s', (text, urgent) => {
    expect(ears.emergency(text)).toBe(urgent);
  });
});

describe('a number of children in Tagalog', () => {
  it.each([
    ['dalawa po', 2],
    ['isa lang', 1],
    ['kambal', 2],
    ['tatlo', 3],
  ] as const)('%s', (text, count) => {
    expect(ears.count(text, 'tl')).toBe(count);
  });
});
