import type { RenderedReply } from '#src/turns/rendered-reply.ts';
import type { Chance } from '../../families/chance.ts';
import { type Family, openFamily, say } from './family.ts';
import type { Network } from './network.ts';

/** No interview of these families is nearly as long; longer ones go round in a circle. */
const MOST_TURNS = 80;

export interface Caregivers {
  readonly chance: Chance;
  /** The share of messages that are given up after a failure. */
  readonly givesUp: number;
}

const WORDS: Readonly<Record<string, (chance: Chance) => string>> = {
  consent: () => 'yes',
  'child-count': (chance) => chance.oneOf(['1', '1', '2']),
  age: (chance) => `${chance.whole(1, 9)} years and ${chance.whole(1, 11)} months`,
  weight: (chance) => `${chance.whole(20, 70)} lb`,
  height: (chance) => `${chance.whole(28, 50)} inches`,
  confirm: () => 'yes',
  review: () => 'yes',
};

/** What a caregiver answers: figures where they are asked for, else the simplest that is offered. */
export function answerTo({ asking, choices }: RenderedReply, chance: Chance): string {
  const words = WORDS[asking ?? ''];
  if (words) return words(chance);
  const ids = choices.map(({ id }) => id);
  const known = ids.filter((id) => id === 'unsure' || id === 'none');
  return chance.oneOf(known.length > 0 ? known : [ids[0] ?? 'unsure']);
}

/** Answers until the summary is sent. Gives false where that comes to no end. */
export async function finish(network: Network, family: Family, caregivers: Caregivers): Promise<boolean> {
  for (let turns = 0; turns < MOST_TURNS; turns++) {
    if (family.reply.done) return true;
    await say(network, family, answerTo(family.reply, caregivers.chance), caregivers);
  }
  return false;
}

/** Families that write until they are told to stop, so many at a time. */
export function startLoad(network: Network, atOnce: number, caregivers: Caregivers) {
  const { chance } = caregivers;
  const families: Family[] = [];
  let stopping = false;

  async function live(): Promise<void> {
    while (!stopping) {
      const family = await openFamily(network);
      families.push(family);
      while (!stopping && !family.reply.done) await say(network, family, answerTo(family.reply, chance), caregivers);
      if (stopping) return;
      // Some correct what they said: the summary is sent once more, as another version.
      if (chance.happens(0.3)) await say(network, family, `change weight to ${chance.whole(20, 70)} lb`, caregivers);
      else if (chance.happens(0.2)) await say(network, family, 'I want to talk to a person', caregivers);
    }
  }

  const living = Array.from({ length: atOnce }, live);
  return {
    families,
    /** Ends where the families stand; gives what went wrong as an exception. */
    async stop(): Promise<readonly Family[]> {
      stopping = true;
      await Promise.all(living);
      return families;
    },
    /** Rejects as soon as one family's client cannot go on, so that a wait beside it does not hang. */
    failed: Promise.all(living).then(() => new Promise<never>(() => {})),
  };
}
