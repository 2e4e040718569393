import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { step } from '#dialogs/conversation.ts';
import { assembleCase } from '#dialogs/facts.ts';
import { factsIn } from '#dialogs/facts-in.ts';
import { goOnFrom, type Rest } from '#dialogs/rescue.ts';
import { readSnapshot } from '#dialogs/snapshot.ts';
import { type Case, parseCase } from '#shared/case.ts';
import { ears, TODAY, voice } from './caregiver.ts';

const FOLDER = new URL('snapshots/', import.meta.url);
const examples = readdirSync(FOLDER)
  .filter((file) => file.endsWith('.json'))
  .map((file) => JSON.parse(readFileSync(new URL(file, FOLDER), 'utf8')) as Record<string, never>);
const [asking] = examples as unknown as [{ version: number; value: string; context: Record<string, unknown> }];

const rest: Rest = {
  start: { language: 'es', languageKnown: true, eventId: null, reference: 'NEW-CODE', today: TODAY },
  cases: [],
  lastCase: null,
  withPerson: false,
};
const go = (stored: unknown, text: string, over: Partial<Rest> = {}) =>
  goOnFrom(stored, { text, choiceIds: [] }, ears, { ...rest, ...over });

const heard = ({ step: { snapshot, reply } }: ReturnType<typeof goOnFrom>) =>
  voice.render(snapshot.context.language, reply).say.join('\n');

describe('a conversation whose snapshot is not of this version', () => {
  const foreign = (over: object = {}) => ({ ...asking, version: 0, ...over });

  it('keeps every fact, its language, its reference and goes on at the next question', () => {
    const before = readSnapshot(asking);
    if (!before.ok) throw new Error('the example is readable');
    const rescued = go(foreign(), 'xyz');
    const { context, value } = rescued.step.snapshot;
    expect(value).toBe('asking');
    expect(context).toMatchObject({ language: 'es', consented: true, reference: before.snapshot.context.reference });
    expect(context.answers.map(({ facts }) => facts)).toEqual(
      before.snapshot.context.answers.map(({ facts }) => facts),
    );
    expect(rescued.step.case.children[0]?.weightKg).toBeCloseTo(14.97, 2);
    expect(heard(rescued)).toMatch(/Perdí el hilo un momento/);
    expect(readSnapshot(rescued.step.snapshot).ok).toBe(true);
  });

  it('hears the message where it surely answers the question on the screen', () => {
    const before = readSnapshot(asking);
    if (!before.ok) throw new Error('the example is readable');
    const onTime = step(before.snapshot, { text: 'ayuda', choiceIds: [] }, TODAY, ears);
    const onScreen = { ...asking.context, asking: 'care-needs:c1' };
    const rescued = go(foreign({ context: onScreen }), 'ayuda');
    expect(rescued.step.reply.asking).toBe(onTime.reply.asking);
    expect(rescued.step.reply.say.slice(1)).toEqual(onTime.reply.say);
  });

  it('does not take a yes that was meant for something else as an answer', () => {
    const pending = { kind: 'restart' };
    const rescued = go(foreign({ context: { ...asking.context, pending } }), 'sí');
    expect(rescued.step.snapshot.context.answers).toHaveLength(rescued.kept);
  });

  it('says what to do in an emergency first of all', () => {
    const rescued = go(foreign(), 'mi hijo no respira');
    expect(rescued.step.reply.say[0]?.key).toBe('say.emergency');
  });

  it('stays with the person who has it', () => {
    expect(go(foreign(), 'hola', { withPerson: true }).step.snapshot.value).toBe('withPerson');
  });
});

describe('a damaged snapshot', () => {
  const context = (over: object) => ({ ...asking, context: { ...asking.context, ...over } });

  it('loses only the answers, facts and words that cannot be read', () => {
    const answers = [
      ...(asking.context.answers as object[]),
      { question: 5 },
      null,
      { question: 'height:c1', facts: { 'children.c1.heightCm': { min: 'x' }, 'children.c1.sex': 'female' } },
      { question: 'weight:c1', facts: { 'children.c1.weightKg': 'heavy' } },
    ];
    const rescued = go(context({ answers, extra: 1 }), 'xyz');
    expect(rescued.step.case.children[0]).toMatchObject({ sex: 'female', heightCm: 96.52 });
    expect(rescued.step.case.children[0]?.weightKg).toBeCloseTo(14.97, 2);
    expect(parseCase(rescued.step.case).ok).toBe(true);
  });

  it('that says nothing of consent asks for it anew, and shares nothing', () => {
    const rescued = go(context({ consented: 'yes' }), 'xyz');
    expect(rescued.step.reply.asking).toBe('consent');
    expect(rescued.step.snapshot.context).toMatchObject({ consented: false, answers: [] });
  });

  it('that is lost altogether goes on with the case that the desk has', () => {
    const lastCase = assembleCase(
      {
        'children.c1.name': 'Wren',
        'children.c1.ageMonths': 26,
        'children.c1.weightKg': 12,
        'uses.c1.mode': 'rear-facing',
      },
      TODAY,
    );
    const rescued = go(null, 'hola', { lastCase });
    expect(rescued.step.snapshot.value).toBe('asking');
    expect(rescued.step.case.children).toMatchObject([{ id: 'c1', name: 'Wren', ageMonths: 26, weightKg: 12 }]);
    expect(['age', 'weight', 'child-count', 'riding-mode']).not.toContain(rescued.step.reply.asking);
    expect(heard(rescued)).toMatch(/Perdí el hilo un momento/);
  });

  it('never stops the conversation, whatever was done to it', () => {
    const paths = (node: unknown, at: readonly string[] = []): (readonly string[])[] =>
      typeof node === 'object' && node !== null
        ? Object.entries(node).flatMap(([key, value]) => [[...at, key], ...paths(value, [...at, key])])
        : [];
    const damage = (node: unknown, [key = '', ...more]: readonly string[], value: unknown): unknown => {
      if (typeof node !== 'object' || node === null) return node;
      const copy = (Array.isArray(node) ? [...node] : { ...node }) as Record<string, unknown>;
      copy[key] = more.length === 0 ? value : damage(copy[key], more, value);
      return copy;
    };
    const places = examples.flatMap((example) => paths(example).map((path) => [example, path] as const));
    const values = fc.oneof(
      fc.constantFrom(undefined, null, '', 'x', -1, 0, true, [], {}, { min: 2, max: 1 }, [null], 'deleted'),
      fc.jsonValue(),
    );
    fc.assert(
      fc.property(fc.constantFrom(...places), values, ([example, path], value) => {
        const damaged = damage(example, path, value);
        if (readSnapshot(damaged).ok) return;
        const { step: first } = go(damaged, '15 kg');
        expect(readSnapshot(first.snapshot).ok).toBe(true);
        expect(voice.render(first.snapshot.context.language, first.reply).say.length).toBeGreaterThan(0);
        const next = step(first.snapshot, { text: 'ayuda', choiceIds: [] }, TODAY, ears);
        expect(next.reply.say.length).toBeGreaterThan(0);
      }),
      { numRuns: 150 },
    );
  });
});

describe('the facts in a case', () => {
  it('make the same case again', () => {
    const facts: Case = {
      asOf: TODAY,
      jurisdiction: 'US-CA',
      children: [{ id: 'c1', name: 'Wren', ageMonths: { min: 24, max: 35 }, sizeConfirmed: false }],
      seats: [
        { id: 's1', modes: { 'rear-facing': { maxWeightKg: 18, maxHeightCm: null } }, crash: { happened: true } },
      ],
      vehicle: { modelYear: 2014, positions: [{ id: 'p2R', row: 2, side: 'right' }] },
      uses: [{ childId: 'c1', seatId: 's1', mode: 'rear-facing', harness: { straps: 'at' } }],
    };
    expect(assembleCase(factsIn(facts), TODAY)).toEqual(facts);
  });
});
