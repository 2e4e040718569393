import { describe, expect, it } from 'vitest';
import type { PreVisitSummary } from '#shared/summary.ts';
import { arrivals, compare } from './rig/check.ts';
import type { Line, Said } from './rig/family.ts';

const bot = (id: string, text: string, of: { replyToId?: string; asking?: string | null; done?: boolean }): Line => ({
  id,
  text,
  from: { role: 'bot' },
  ...(of.replyToId && { replyToId: of.replyToId }),
  channelData: {
    lapwing: {
      say: [text],
      choices: [],
      many: false,
      asking: of.asking ?? null,
      told: [],
      done: of.done ?? false,
      language: 'en',
    },
  },
});
const family = (id: string, text: string): Line => ({
  id: `c:${id}`,
  text,
  from: { role: 'user' },
  channelData: { clientActivityID: id },
});

const LINES: readonly Line[] = [
  bot('b0', 'How old?', { asking: 'age' }),
  family('m0', '2 years'),
  bot('b1', 'Is this right?', { replyToId: 'c:m0', asking: 'review' }),
  family('m1', 'yes'),
  bot('b2', 'I sent it. Your code is ABCD-2345.', { replyToId: 'c:m1', done: true }),
];
const SAID: readonly Said[] = [
  { id: 'm0', text: '2 years', answer: { id: 'b1', text: 'Is this right?' } },
  { id: 'm1', text: 'yes', answer: { id: 'b2', text: 'I sent it. Your code is ABCD-2345.' } },
];
const found = (lines: readonly Line[], said = SAID) => compare({ conversationId: 'x', said: [...said] }, lines);

const summary = { reference: 'ABCD-2345' } as PreVisitSummary;
const notice = (id: string, body = '{}') => ({ id, type: 'summary.sent', body, summary });
const ONE = { delivered: [notice('n1')], letters: [{ id: 'l1', about: 'ABCD-2345' }], forged: [] };

describe('the check after a fault', () => {
  it('finds nothing wrong with a record that is whole', () => {
    expect(found(LINES)).toMatchObject({ acknowledged: 2, unknown: 0, summaries: 1, references: ['ABCD-2345'] });
    expect(found(LINES).problems).toEqual([]);
    expect(arrivals([found(LINES)], ONE)).toEqual([]);
  });

  it.each([
    ['an acknowledged message is lost', LINES.slice(0, 3), /m1 was acknowledged/],
    ['a message stands twice', [...LINES, family('m1', 'yes')], /m1 stands 2 times/],
    ['its words are others', LINES.with(1, family('m0', '3 years')), /m0 stands in the record with other words/],
    ['its answer is missing', LINES.toSpliced(2, 1), /m0 is not followed by its answer/],
    ['it was answered anew', LINES.with(4, bot('b9', 'I sent it.', { replyToId: 'c:m1' })), /m1 has another answer/],
    ['a message was never said', [...LINES, family('m7', 'no')], /m7 was never said/],
    ['an id stands twice', [...LINES, bot('b2', 'Hello', {})], /two lines have one id/],
    [
      'the order is another',
      [LINES[0], LINES[3], LINES[4], LINES[1], LINES[2]] as Line[],
      /another order than they were said/,
    ],
  ])('notices that %s', (_what, lines, problem) => {
    expect(found(lines).problems.join('\n')).toMatch(problem);
  });

  it('counts a message that was given up as heard or not, and either is right', () => {
    const givenUp = SAID.with(1, { id: 'm1', text: 'yes', answer: null });
    expect(found(LINES, givenUp)).toMatchObject({ acknowledged: 1, unknown: 1, unknownHeard: 1, problems: [] });
    expect(found(LINES.slice(0, 3), givenUp)).toMatchObject({ unknown: 1, unknownHeard: 0, problems: [] });
  });

  it.each([
    ['a summary never came', { ...ONE, delivered: [] }, /1 summaries, 0 ids at the webhook/],
    ['one version came under two ids', { ...ONE, delivered: [notice('n1'), notice('n2')] }, /1 summaries, 2 ids/],
    [
      'one id came with two contents',
      { ...ONE, delivered: [notice('n1'), notice('n1', '[]')] },
      /two different bodies/,
    ],
    ['a letter never came', { ...ONE, letters: [] }, /1 notices, 0 ids at the mail server/],
    ['something came unsigned', { ...ONE, forged: ['not signed by us'] }, /not signed by us/],
  ])('notices that %s', (_what, arrived, problem) => {
    expect(arrivals([found(LINES)], arrived).join('\n')).toMatch(problem);
  });
});
