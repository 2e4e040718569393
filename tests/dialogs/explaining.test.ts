import { describe, expect, it } from 'vitest';
import { caregiver } from './caregiver.ts';

/** How each family answers; what is not named is answered with the first choice, or not known. */
const FAMILIES: Readonly<Record<string, Readonly<Record<string, string>>>> = {
  'a toddler who faces the back': {
    age: '20 months',
    weight: '26 lb',
    height: '33 in',
    'riding-mode': 'rear-facing',
    'seat-kind': 'convertible',
  },
  'a child in a harness': {
    age: '3 years',
    weight: '33 lb',
    height: '38 in',
    'riding-mode': 'forward-facing',
    'seat-kind': 'combination',
  },
  'a child on a booster': {
    age: '7 years',
    weight: '50 lb',
    height: '48 in',
    'riding-mode': 'booster',
    'seat-kind': 'booster',
  },
};

describe('why and help', () => {
  it.each(Object.entries(FAMILIES))('have words of their own at every question: %s', (_, answers) => {
    const family = caregiver();
    family.says('yes');
    const explained: string[] = [];
    for (let turns = 0; turns < 80 && family.now.reply.asking !== 'review'; turns++) {
      const { asking, choices } = family.now.reply;
      for (const command of ['why', 'help']) {
        family.says(command);
        expect(family.now.reply.asking).toBe(asking);
        const heard = family.heard();
        if (command === 'why') explained.push(`${asking}: ${heard.split('\n')[0]}`);
      }
      const own = asking ? answers[asking] : undefined;
      const ids = choices.map(({ id }) => id);
      if (own && !ids.includes(own)) family.says(own);
      else family.taps(own ?? (ids.includes('unsure') && asking !== 'position' ? 'unsure' : (ids[0] as string)));
    }
    expect(family.now.reply.asking).toBe('review');
    expect(explained.length).toBeGreaterThan(10);
  });
});
