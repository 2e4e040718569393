import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readSnapshot } from '#dialogs/snapshot.ts';
import { parseCase } from '#shared/case.ts';
import { type Caregiver, caregiver, voice } from './caregiver.ts';

/** What a caregiver may do in a turn: pick the n-th choice (of many, wrapping), or write something. */
const act = fc.oneof(
  { weight: 6, arbitrary: fc.record({ pick: fc.nat(40) }) },
  { weight: 1, arbitrary: fc.record({ pick: fc.nat(40), also: fc.nat(40) }) },
  {
    weight: 3,
    arbitrary: fc.record({
      text: fc.constantFrom(
        'back',
        'help',
        'why',
        'repeat',
        'change',
        'person',
        'delete',
        'restart',
        'yes',
        'no',
        'unsure',
        'en español por favor',
        '26 months',
        '28 lb',
        '14 lb',
        '35 inches',
        'almost 4',
        'she is 8 months, 18 lb and faces forward',
        'Texas',
        '2014 van',
        '',
        '   ',
        '😀😀',
        '\u0000\u0007',
        '999999 kg',
        'born 2031-01-01',
        'qué?',
        '我不知道',
        'x'.repeat(10_000),
        '{{child}} $t(say.help)',
      ),
    }),
  },
);

type Act = { pick?: number; also?: number; text?: string };

function perform(family: Caregiver, { pick, also, text }: Act): void {
  const { choices, many } = family.now.reply;
  if (text !== undefined) family.says(text);
  else if (choices.length === 0) family.says('help');
  else {
    const ids = [pick, many ? also : undefined].flatMap((n) =>
      n === undefined ? [] : (choices[n % choices.length]?.id ?? []),
    );
    family.taps(...ids);
  }
}

/** The shortest way to the end from wherever a talk stands: agree, skip, or say "I don't know". */
function finish(family: Caregiver): number {
  for (let turns = 0; turns < 150; turns++) {
    const { asking, choices, done } = family.now.reply;
    if (done) return turns;
    const ids = choices.map(({ id }) => id);
    const way = ['yes', 'skip', 'unsure', 'no-name'].find((id) => ids.includes(id)) ?? ids[0];
    if (way === undefined) throw new Error(`no way out of ${asking}`);
    family.taps(way);
  }
  return Number.POSITIVE_INFINITY;
}

describe('any talk whatever', () => {
  it('keeps a valid case and snapshot, says something, and always has a way to the end', { timeout: 120_000 }, () => {
    fc.assert(
      fc.property(fc.array(act, { maxLength: 25 }), fc.boolean(), (acts, languageKnown) => {
        const family = caregiver('en', languageKnown);
        for (const one of acts) {
          perform(family, one);
          const { reply, snapshot, case: theCase } = family.now;
          expect(parseCase(theCase)).toMatchObject({ ok: true });
          expect(readSnapshot(JSON.parse(JSON.stringify(snapshot)))).toMatchObject({ ok: true });
          expect(reply.asking === null).toBe(reply.done);
          const words = voice.render(snapshot.context.language, reply);
          expect(words.say.length).toBeGreaterThan(0);
          for (const line of [...words.say, ...words.choices.map(({ text }) => text)]) expect(line.trim()).not.toBe('');
        }
        expect(finish(family)).toBeLessThan(150);
      }),
      { numRuns: 20 },
    );
  });
});
