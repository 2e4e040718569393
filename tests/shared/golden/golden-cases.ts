import { readdirSync, readFileSync } from 'node:fs';
import type { Urgency } from '#shared/assessment.ts';
import type { FindingCode } from '#shared/finding-codes.ts';

export interface ExpectedFinding {
  readonly code: FindingCode;
  readonly urgency: Urgency;
  readonly childId?: string | null;
  readonly seatId?: string | null;
  readonly positionId?: string | null;
}

/** What a golden case demands. Everything left out is free; maps are keyed by child id. */
export interface Expectation {
  readonly advice?: Record<string, object>;
  readonly modes?: Record<string, Record<string, string | object>>;
  readonly findings?: readonly ExpectedFinding[];
  /** Codes that must not be raised. */
  readonly not?: readonly FindingCode[];
  /** Exactly these codes, no other. */
  readonly only?: readonly FindingCode[];
  readonly uses?: Record<string, Record<string, unknown>>;
  readonly law?: Record<string, string>;
  readonly clauses?: Record<string, Record<string, object>>;
  readonly visit?: object;
  readonly unknowns?: Record<string, readonly FindingCode[]>;
  /** An empty list means no forecast at all. */
  readonly forecast?: Record<string, readonly { mode: string; limit: string }[]>;
  readonly growth?: Record<string, { reference: string; weightZ?: number; heightZ?: number }>;
  /** JSON path of the fault. */
  readonly error?: string;
}

export interface GoldenCase {
  readonly name: string;
  readonly source: string;
  readonly case: unknown;
  readonly expect: Expectation;
}

export interface Family {
  readonly family: string;
  readonly cases: readonly GoldenCase[];
}

const here = new URL('.', import.meta.url);

export const families: readonly Family[] = readdirSync(here)
  .filter((file) => file.endsWith('.json'))
  .sort()
  .map((file) => ({
    family: file.replace(/\.json$/, ''),
    cases: JSON.parse(readFileSync(new URL(file, here), 'utf8')) as GoldenCase[],
  }));
