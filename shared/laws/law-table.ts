import { z } from 'zod';
import { isFullDate } from '#shared/dates.ts';
import { jsonPath } from '#shared/json-path.ts';
import { LAW_FACTS } from './facts.ts';

/** Duties by strength, the strongest first; a stronger device meets a weaker duty. `rear-seat` stands apart from devices. */
export const DUTIES = [
  'rear-facing',
  'harness',
  'child-restraint',
  'booster-or-restraint',
  'belt-or-restraint',
  'rear-seat',
] as const;
export type Duty = (typeof DUTIES)[number];

const words = z.string().regex(/\S/, { error: 'expected some text' });
const threshold = z.number().positive().lt(300).optional();

/** Under is <, AtLeast is >=, Over is >, AtMost is <=. `logic` joins the tests of one condition; `all` when absent. */
const tests = z.strictObject({
  ageUnderMonths: threshold,
  ageAtLeastMonths: threshold,
  weightUnderLb: threshold,
  weightAtLeastLb: threshold,
  weightOverLb: threshold,
  weightAtMostLb: threshold,
  weightUnderKg: threshold,
  heightUnderIn: threshold,
  heightAtLeastIn: threshold,
  heightOverIn: threshold,
  heightAtMostIn: threshold,
  heightUnderCm: threshold,
  logic: z.enum(['all', 'any']).optional(),
});
export type Tests = z.infer<typeof tests>;
export type TestName = Exclude<keyof Tests, 'logic'>;

const countTests = ({ logic, ...rest }: Tests): number => Object.values(rest).filter((t) => t !== undefined).length;
const condition = tests.refine((t) => countTests(t) > 0, { error: 'expected at least one test' });

const facts = z.array(z.enum(LAW_FACTS)).min(1).optional();

const clauseFields = {
  id: words,
  cite: words,
  requires: z.enum(DUTIES),
  /** Harness duties only: does the law say harness, or is it read out of the way it sets boosters apart? */
  wording: z.enum(['explicit', 'implied']).optional(),
  applies: condition,
  unless: condition
    .refine((t) => countTests(t) < 2 || t.logic !== undefined, { error: 'several tests need a logic' })
    .optional(),
  onlyWhen: facts,
  exceptWhen: facts,
  /** Set where the clause rests on something weaker than its record's `seenAs`. */
  basis: z.enum(['secondary', 'older-text', 'memory']).optional(),
  note: words.optional(),
};

type HarnessWording = { requires: Duty; wording?: string | undefined };
const wordingGiven = (c: HarnessWording) => c.requires !== 'harness' || c.wording !== undefined;
const needsWording = { path: ['wording'], error: 'a harness duty needs its wording, explicit or implied' };

const clause = z.strictObject(clauseFields).refine(wordingGiven, needsWording);

const upcomingClause = z
  .strictObject({
    ...clauseFields,
    effective: z.string().refine(isFullDate, { error: 'not a full date of the form YYYY-MM-DD' }),
    source: words,
  })
  .refine(wordingGiven, needsWording);

const source = z
  .strictObject({
    title: words,
    kind: words,
    address: z
      .string()
      .regex(/^https?:\/\/\S+$/, { error: 'not a web address' })
      .optional(),
    addressNote: words.optional(),
  })
  .refine((s) => s.address !== undefined || s.addressNote !== undefined, {
    path: ['address'],
    error: 'a source needs an address or an addressNote',
  });

const jurisdiction = z.strictObject({
  code: z.string().regex(/^[A-Z]{2}(-[A-Z0-9]{1,3})?$/, { error: 'not an ISO 3166 code' }),
  name: words,
  statute: words,
  asOf: words,
  status: z.enum(['seen', 'memory']),
  seenAs: z.enum(['statute', 'official', 'secondary']),
  confidence: z.enum(['high', 'medium', 'low']),
  remarks: words,
  // Together they have to fit the bits of a clause set.
  clauses: z.array(clause).min(1).max(20),
  upcoming: z.array(upcomingClause).max(10).optional(),
  sources: z.array(source).min(1),
});
export type Jurisdiction = z.infer<typeof jurisdiction>;
export type Clause = z.infer<typeof clause>;

const lawTable = z
  .strictObject({
    schemaVersion: z.literal(1),
    provenance: words,
    compiled: words,
    currency: words,
    jurisdictions: z.array(jurisdiction).min(1),
  })
  .superRefine(({ jurisdictions }, ctx) => {
    const codes = new Set<string>();
    const ids = new Set<string>();
    const unique = (seen: Set<string>, value: string, path: (string | number)[]) => {
      if (seen.has(value)) ctx.addIssue({ code: 'custom', path, message: `"${value}" stands twice` });
      seen.add(value);
    };
    for (const [i, each] of jurisdictions.entries()) {
      unique(codes, each.code, ['jurisdictions', i, 'code']);
      for (const list of ['clauses', 'upcoming'] as const)
        for (const [k, { id }] of (each[list] ?? []).entries()) unique(ids, id, ['jurisdictions', i, list, k, 'id']);
    }
  });
export type LawTable = z.infer<typeof lawTable>;

export type LawTableResult =
  | { ok: true; table: LawTable }
  | { ok: false; error: { readonly path: string; readonly message: string } };

/** Checks anything against the shape of a law table. The error says where it is malformed, as a JSON path, and why. */
export const loadLawTable = (json: unknown): LawTableResult => {
  const result = lawTable.safeParse(json);
  if (result.success) return { ok: true, table: result.data };
  const issue = result.error.issues[0];
  if (!issue) return { ok: false, error: { path: '$', message: 'not a law table' } };
  const unknownKey = issue.code === 'unrecognized_keys' ? issue.keys.slice(0, 1) : [];
  return { ok: false, error: { path: jsonPath([...issue.path, ...unknownKey]), message: issue.message } };
};
