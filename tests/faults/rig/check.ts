import type { Chance } from '../../families/chance.ts';
import { type Family, type Line, replyOf, say, threadOf } from './family.ts';
import { finish } from './interview.ts';
import { type Network, pause } from './network.ts';
import type { Receivers } from './receivers.ts';

/** What is found of one family: its share of the counts, and what is wrong. */
export interface Found {
  readonly acknowledged: number;
  readonly unknown: number;
  readonly unknownHeard: number;
  readonly summaries: number;
  /** The codes by which its case was named. */
  readonly references: readonly string[];
  readonly problems: readonly string[];
}

/** What the whole run came to; `problems` must be empty. */
export interface Outcome {
  readonly conversations: number;
  /** Messages that were acknowledged, each found in the record once with the answer that the family got. */
  readonly acknowledged: number;
  /** Messages given up without an acknowledgement, and how many of them were heard all the same. */
  readonly unknown: number;
  readonly unknownHeard: number;
  /** Summaries that families sent, and the different ones that arrived; with repetitions below. */
  readonly summaries: number;
  readonly arrived: number;
  readonly deliveries: number;
  readonly letters: number;
  readonly problems: readonly string[];
}

const countOf = <T>(list: readonly T[], value: T): number => list.filter((one) => one === value).length;

/** Compares what a family knows with the record. */
export function compare(
  { said, conversationId }: Pick<Family, 'said' | 'conversationId'>,
  lines: readonly Line[],
): Found {
  const problems: string[] = [];
  const wrong = (what: string) => problems.push(`${conversationId}: ${what}`);
  const heard = lines.filter(({ from }) => from.role === 'user');
  const heardIds = heard.map(({ channelData }) => channelData?.clientActivityID ?? '');
  const ids = lines.map(({ id }) => id);
  if (new Set(ids).size !== ids.length) wrong('two lines have one id');
  let unknownHeard = 0;
  for (const { id, text, answer } of said) {
    const times = countOf(heardIds, id);
    if (times > 1) wrong(`${id} stands ${times} times in the record`);
    if (answer === null) unknownHeard += times;
    else if (times === 0) wrong(`${id} was acknowledged and is not in the record`);
    if (times !== 1) continue;
    const at = lines.findIndex(({ channelData, from }) => from.role === 'user' && channelData?.clientActivityID === id);
    if (lines[at]?.text !== text) wrong(`${id} stands in the record with other words`);
    const next = lines[at + 1];
    if (next?.replyToId !== lines[at]?.id) wrong(`${id} is not followed by its answer`);
    if (answer && (next?.id !== answer.id || next.text !== answer.text))
      wrong(`${id} has another answer than was given`);
  }
  const known = new Set(said.map(({ id }) => id));
  for (const id of heardIds) if (!known.has(id)) wrong(`${id} was never said`);
  const order = heardIds.map((id) => said.findIndex((one) => one.id === id));
  if (order.some((at, i) => i > 0 && at < (order[i - 1] ?? 0)))
    wrong('messages stand in another order than they were said');
  const replies = lines.flatMap((line) => replyOf(line) ?? []);
  const summaries = replies.filter(({ done }, i) => done && replies[i - 1]?.asking === 'review').length;
  const codes = lines.flatMap(({ text }) => [...text.matchAll(/code is ([A-Z0-9]{4}-[A-Z0-9]{4})/g)]);
  const acknowledged = said.filter(({ answer }) => answer !== null).length;
  return {
    acknowledged,
    unknown: said.length - acknowledged,
    unknownHeard,
    summaries,
    references: [...new Set(codes.map(([, code]) => code ?? ''))],
    problems,
  };
}

type Arrived = Pick<Receivers, 'delivered' | 'letters' | 'forged'>;

const different = (ids: readonly string[]): number => new Set(ids).size;

/** Whether everything that families sent has arrived, with one id for each version at each receiver. */
export function arrivals(found: readonly Found[], { delivered, letters, forged }: Arrived): readonly string[] {
  const problems = [...forged];
  const bodies = new Map<string, string>();
  for (const { id, body } of delivered) {
    if ((bodies.get(id) ?? body) !== body) problems.push(`${id} came with two different bodies`);
    bodies.set(id, body);
  }
  for (const { references, summaries } of found) {
    const about = delivered.filter(({ summary }) => references.includes(summary.reference));
    const sent = different(about.filter(({ type }) => type === 'summary.sent').map(({ id }) => id));
    const mailed = different(letters.filter(({ about: code }) => references.includes(code)).map(({ id }) => id));
    if (sent !== summaries) problems.push(`${references}: ${summaries} summaries, ${sent} ids at the webhook`);
    const notices = different(about.map(({ id }) => id));
    if (mailed !== notices) problems.push(`${references}: ${notices} notices, ${mailed} ids at the mail server`);
  }
  return problems;
}

export interface Checking {
  readonly chance: Chance;
  /** Called about once a second while something has not arrived. */
  readonly nudge?: () => void | Promise<void>;
}

/** Looks at what arrives until it is all, or does not come in a minute. */
async function patiently(arrived: () => boolean, nudge: Checking['nudge']): Promise<void> {
  for (let looks = 0; !arrived() && looks < 3000; looks++) {
    if (looks % 50 === 49) await nudge?.();
    await pause();
  }
}

/**
 * After the faults: drives every conversation on to its summary and one answer further, reads every record, waits until
 * all is handed on, and says what does not hold.
 */
export async function checkAll(
  network: Network,
  families: readonly Family[],
  receivers: Receivers,
  { chance, nudge }: Checking,
): Promise<Outcome> {
  const patient = { chance, givesUp: 0 };
  const stuck: string[] = [];
  await eachOf(families, async (family) => {
    if (!(await finish(network, family, patient))) stuck.push(`${family.conversationId}: no end to its questions`);
    await say(network, family, 'thank you', patient);
    if (family.said.at(-1)?.answer?.text === '') stuck.push(`${family.conversationId}: is answered nothing`);
  });
  const found: Found[] = [];
  await eachOf(families, async (family) => {
    found.push(compare(family, await threadOf(network, family)));
  });
  await patiently(() => arrivals(found, receivers).length === 0, nudge);
  const sum = (of: (one: Found) => number) => found.reduce((total, one) => total + of(one), 0);
  const summaryIds = receivers.delivered.filter(({ type }) => type === 'summary.sent').map(({ id }) => id);
  return {
    conversations: families.length,
    acknowledged: sum(({ acknowledged }) => acknowledged),
    unknown: sum(({ unknown }) => unknown),
    unknownHeard: sum(({ unknownHeard }) => unknownHeard),
    summaries: sum(({ summaries }) => summaries),
    arrived: different(summaryIds),
    deliveries: receivers.delivered.length,
    letters: receivers.letters.length,
    problems: [...stuck, ...found.flatMap(({ problems }) => problems), ...arrivals(found, receivers)],
  };
}

/** A few at a time. */
async function eachOf<T>(list: readonly T[], work: (one: T) => Promise<void>): Promise<void> {
  const rest = list.values();
  const worker = async () => {
    for (const one of rest) await work(one);
  };
  await Promise.all([1, 2, 3, 4].map(worker));
}
