import { createInterface } from 'node:readline';
import { assess } from '#shared/assess.ts';
import { parseCase } from '#shared/case.ts';
import { explain } from '#shared/explain.ts';
import { printExplanation } from './explanation-text.ts';
import type { JsonDocument } from './json-documents.ts';
import { jsonDocuments } from './json-documents.ts';

const looksLikeCase = (value: unknown): boolean => typeof value === 'object' && value !== null && 'asOf' in value;

const failure = (path: string, message: string): string => JSON.stringify({ error: { path, message } });

const answer = (document: JsonDocument, readably: boolean): { line: string; ok: boolean } => {
  if (!document.ok) return { line: failure('$', document.message), ok: false };
  const result = parseCase(document.value);
  if (!result.ok) return { line: failure(result.error.path, result.error.message), ok: false };
  const assessment = assess(result.case);
  return { line: readably ? printExplanation(explain(assessment)) : JSON.stringify(assessment), ok: true };
};

const write = (line: string): Promise<void> =>
  new Promise((resolve, reject) => {
    process.stdout.write(`${line}\n`, (error) => (error ? reject(error) : resolve()));
  });

const readably = process.argv.includes('--explain');
for await (const document of jsonDocuments(createInterface({ input: process.stdin }), looksLikeCase)) {
  const { line, ok } = answer(document, readably);
  if (!ok) process.exitCode = 2;
  await write(line);
}
