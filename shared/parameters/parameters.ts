import { z } from 'zod';
import { isFullDate } from '#shared/dates.ts';
import { inToCm, lbToKg } from '#shared/units.ts';
import values from './parameters.json' with { type: 'json' };
import { findSource } from './sources.ts';

export type ParameterId = keyof typeof values;

const parameterSchema = z.strictObject({
  value: z.number().min(0),
  unit: z.enum(['lb', 'in', 'months', 'minutes', 'findings']),
  /** What the value rests on at best; the sources tell how far each was seen. */
  basis: z.enum(['rule', 'guidance', 'common practice']),
  sources: z.array(z.string().refine((id) => findSource(id) !== undefined, { error: 'no such source' })),
  /** The day from which the basis holds; for a judgement of our own the day the sheet of standards was compiled. */
  since: z.string().refine(isFullDate, { error: 'not a full date' }),
  note: z.string().optional(),
});

export type Parameter = z.infer<typeof parameterSchema>;

/** Reads a parameter file; throws a ZodError that names the path of the first fault. */
export const readParameters = (data: unknown): Readonly<Record<string, Parameter>> =>
  z.record(z.string(), parameterSchema).parse(data);

/** Every parameter of the rules with its unit, basis, sources and date (rules.md, Parameters). */
export const PARAMETERS = readParameters(values) as Readonly<Record<ParameterId, Parameter>>;

const CONVERT = { lb: lbToKg, in: inToCm, months: Number, minutes: Number, findings: Number };

/** A parameter's value in the unit that rules compare in: kg, cm, completed months or a bare number; never rounded. */
export const parameter = (id: ParameterId): number => {
  const { value, unit } = PARAMETERS[id];
  return CONVERT[unit](value);
};
