import { z } from 'zod';
import { createReader, LONGEST_MESSAGE } from '#dialogs/understanding/reader.ts';
import { ASKED_SLOTS, LANGUAGES } from '#dialogs/understanding/types.ts';
import { isFullDate } from '#shared/dates.ts';
import { loadLexicons } from '#src/locales/lexicons.ts';
import { type TextLine, textLines } from './text-lines.ts';

const LONGEST_LINE_BYTES = 100_000;
const MOST_MONTHS = 1200;

const months = z.number().min(0).max(MOST_MONTHS);
const wellFormed = z.string().refine((text) => text.isWellFormed(), 'holds half of a surrogate pair');

const requestSchema = z.looseObject({
  id: z.union([wellFormed, z.number()]),
  language: z.enum(LANGUAGES),
  asked: z.enum(ASKED_SLOTS).nullable(),
  text: wellFormed.max(LONGEST_MESSAGE),
  context: z
    .looseObject({
      today: z.string().refine(isFullDate, 'is no date (YYYY-MM-DD)'),
      ageMonths: z.union([months, z.tuple([months, months])]),
      units: z.enum(['us', 'metric']),
    })
    .partial()
    .optional(),
});

interface Failure {
  readonly id: string | number | null;
  readonly error: { readonly path: string; readonly message: string };
}

const failure = (id: Failure['id'], path: string, message: string): Failure => ({ id, error: { path, message } });

const idOf = (value: unknown): Failure['id'] => {
  const id = typeof value === 'object' && value !== null && 'id' in value ? value.id : null;
  return typeof id === 'number' || (typeof id === 'string' && id.isWellFormed()) ? id : null;
};

const today = (): string => new Date().toISOString().slice(0, 10);

const reader = createReader(loadLexicons());

const answer = (line: TextLine): Failure | { readonly id: string | number } => {
  if (!line.ok) return failure(null, '$', line.message);
  let value: unknown;
  try {
    value = JSON.parse(line.text);
  } catch {
    return failure(null, '$', 'not JSON');
  }
  const request = requestSchema.safeParse(value);
  if (!request.success) {
    const [issue] = request.error.issues;
    return failure(idOf(value), issue?.path.join('.') || '$', issue?.message ?? 'not a request');
  }
  const { id, language, asked, text, context } = request.data;
  return { id, ...reader.read({ language, asked, text, context: { today: today(), ...context } }) };
};

const write = (line: string): Promise<void> =>
  new Promise((resolve, reject) => {
    process.stdout.write(`${line}\n`, (error) => (error ? reject(error) : resolve()));
  });

for await (const line of textLines(process.stdin, LONGEST_LINE_BYTES)) {
  if (line.ok && line.text.trim() === '') continue;
  const result = answer(line);
  if ('error' in result) process.exitCode = 2;
  await write(JSON.stringify(result));
}
