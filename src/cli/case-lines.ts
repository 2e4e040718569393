import { createInterface } from 'node:readline';
import type { Case, CaseError } from '#shared/case.ts';
import { parseCase } from '#shared/case.ts';
import { jsonDocuments } from './json-documents.ts';

const looksLikeCase = (value: unknown): boolean => typeof value === 'object' && value !== null && 'asOf' in value;

const write = (line: string): Promise<void> =>
  new Promise((resolve, reject) => {
    process.stdout.write(`${line}\n`, (error) => (error ? reject(error) : resolve()));
  });

/** What one case is answered with: a line, or why it cannot be answered. */
export type Answer = string | { readonly error: CaseError };

/** Answers the cases on standard input, a line each; a faulty one by its error, and the exit status is 2 at the end. */
export async function answerCases(answer: (family: Case) => Answer): Promise<void> {
  for await (const document of jsonDocuments(createInterface({ input: process.stdin }), looksLikeCase)) {
    const parsed = document.ok ? parseCase(document.value) : { ok: false as const, error: failure(document.message) };
    const answered: Answer = parsed.ok ? answer(parsed.case) : { error: parsed.error };
    if (typeof answered !== 'string') process.exitCode = 2;
    await write(typeof answered === 'string' ? answered : JSON.stringify(answered));
  }
}

const failure = (message: string): CaseError => ({ path: '$', message });
