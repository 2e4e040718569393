import { describe, expect, it } from 'vitest';
import { getAdjacencyMap } from 'xstate/graph';
import { compose } from '#dialogs/compose.ts';
import { askingKey } from '#dialogs/context-changes.ts';
import type { IntakeEvent } from '#dialogs/events.ts';
import { intakeMachine, STATES } from '#dialogs/intake.machine.ts';
import type { Answer, IntakeContext } from '#dialogs/intake-context.ts';
import { snapshotOf, stateOf } from '#dialogs/snapshot.ts';
import { caseOf } from '#dialogs/view.ts';
import { assess } from '#shared/assess.ts';
import { caregiver, voice } from './caregiver.ts';

type State = ReturnType<typeof stateOf>;

/** A family with few questions left, so that the whole graph can be walked. */
const nearTheEnd = (): State => {
  const family = caregiver('en');
  for (const words of ['yes', '1', '10 years', '80 lb', '58 in', 'none', 'seat belt', 'yes']) family.says(words);
  return stateOf(family.now.snapshot);
};

const words = { asking: null, text: 'words', values: {} };

const unsure = (context: IntakeContext): Answer[] => {
  const question = askingKey(context);
  return question ? [{ question, facts: {}, declined: [], unsure: true, turn: context.turn }] : [];
};

const HEAVY: Answer = {
  question: 'weight:c1',
  facts: { 'children.c1.weightKg': 36 },
  declined: [],
  unsure: false,
  turn: 1,
};

/** One event of every kind a message can become. */
const eventsOf = ({ context }: State): readonly IntakeEvent[] => [
  { type: 'LANGUAGE', language: 'es' },
  { type: 'LANGUAGE', language: 'en' },
  { type: 'OFFER_LANGUAGE', language: 'fr', text: 'bonjour' },
  { type: 'CONSENT' },
  { type: 'REFUSE' },
  { type: 'ANSWER', answers: unsure(context), doubtful: [], words },
  { type: 'ANSWER', answers: [], doubtful: [HEAVY], words },
  { type: 'YES' },
  { type: 'NO' },
  { type: 'BACK' },
  { type: 'CHANGE', question: null },
  { type: 'CHANGE', question: 'weight:c1' },
  { type: 'RESTART' },
  { type: 'DELETE' },
  { type: 'PERSON' },
  { type: 'CONTACT', contact: null },
  { type: 'RESUME' },
  { type: 'SEND' },
  { type: 'SEND', choosing: true },
  { type: 'CHOOSE_TIME' },
  { type: 'MORE_TIMES', after: '2026-05-20T16:00:00.000Z' },
  { type: 'BOOK', slot: { start: '2026-05-20T16:00:00.000Z', minutes: 30 } },
  { type: 'NO_TIME' },
  { type: 'CANCEL_TIME' },
  { type: 'ANOTHER_CAR' },
  { type: 'NOTE', words },
  { type: 'MISUNDERSTOOD' },
];

/** What tells two situations apart; after a restart all questions are open again, which is one situation here. */
const nameOf = ({ value, context }: State): string => {
  const left = context.answers.length < 3 ? 'many' : (askingKey(context) ?? 'none');
  const { consented, pending, offered, reopened, language, earlier } = context;
  return [
    value,
    consented,
    pending?.kind ?? '-',
    offered ? 'offered' : '-',
    reopened ?? '-',
    left,
    language,
    earlier.length,
  ].join(' ');
};

const graph = getAdjacencyMap(intakeMachine, {
  fromState: nearTheEnd(),
  events: (state) => eventsOf(state as State) as IntakeEvent[],
  serializeState: (state) => nameOf(state as State),
  serializeEvent: (event) => JSON.stringify(event),
  stopWhen: (state) => (state as State).context.answers.length < 3 && (state as State).value === 'asking',
});

const edges = Object.entries(graph).map(([name, { state, transitions }]) => ({
  name,
  state: state as State,
  next: Object.values(transitions).map((to) => nameOf((to as { state: State }).state)),
}));

/** Names of all situations from which one of these can be reached. */
const leadingTo = (goals: readonly string[]): ReadonlySet<string> => {
  const reached = new Set(goals);
  for (let grown = true; grown; ) {
    grown = false;
    for (const { name, next } of edges)
      if (!reached.has(name) && next.some((to) => reached.has(to))) {
        reached.add(name);
        grown = true;
      }
  }
  return reached;
};

describe('every situation the machine can come to', () => {
  it('is among the states, and all states are met but the one in between', () => {
    const met = new Set(edges.map(({ state }) => String(state.value)));
    expect([...met].sort()).toEqual(STATES.filter((state) => state !== 'resuming').sort());
    expect(edges.length).toBeGreaterThan(60);
  });

  it('has a way to an end: sent, with a person, refused or deleted', () => {
    const ends = edges.filter(({ state }) =>
      ['sent', 'withPerson', 'refused', 'deleted'].includes(String(state.value)),
    );
    // Where many questions are open the walk stops; from there the questions go on as from the start.
    const onward = edges.filter(({ state }) => state.value === 'asking' && state.context.answers.length < 3);
    const ok = leadingTo([...ends, ...onward].map(({ name }) => name));
    expect(edges.filter(({ name }) => !ok.has(name)).map(({ name }) => name)).toEqual([]);
  });

  it('has a way to a person and to deleting everything', () => {
    const stop = edges.filter(({ state }) => state.value === 'asking' && state.context.answers.length < 3);
    for (const goal of ['withPerson', 'deleted']) {
      const ends = edges.filter(({ state }) => state.value === goal);
      const ok = leadingTo([...ends, ...stop].map(({ name }) => name));
      expect(edges.filter(({ name }) => !ok.has(name)).map(({ name }) => name)).toEqual([]);
    }
  });

  it('has a way to an end in the other car as in the first', () => {
    const inOther = edges.filter(({ state }) => state.context.earlier.length === 1);
    expect(inOther.map(({ state }) => String(state.value))).toEqual(expect.arrayContaining(['asking', 'sent']));
    const ok = leadingTo(inOther.filter(({ state }) => state.value === 'sent').map(({ name }) => name));
    // After a restart the walk stops, as in the first car.
    const walked = inOther.filter(({ state }) => state.value === 'asking' && state.context.answers.length >= 3);
    const stuck = walked.filter(({ name }) => !ok.has(name));
    expect(stuck.map(({ name }) => name)).toEqual([]);
  });

  it('has words of its own, and either asks something or is done', () => {
    for (const { name, state } of edges) {
      const { value, context } = snapshotOf(state);
      const reply = compose(value, context, assess(caseOf(context)), [], { fresh: [], lifted: [], told: [] });
      expect(voice.render(context.language, reply).say.join(''), name).not.toBe('');
      expect(reply.asking !== null || reply.done, name).toBe(true);
    }
  });
});
