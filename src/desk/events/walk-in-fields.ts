import { oneLine } from './event-fields.ts';

export const MAX_WALK_IN = 60;
/** What can be planned for a family of which nothing is known yet; 30 is the middle of what visits take. */
export const WALK_IN_MINUTES = [15, 20, 30, 45, 60, 90] as const;
const USUAL = 30;

export interface WalkInFields {
  readonly who: string;
  readonly language: string;
  readonly minutes: number;
}

/** Reads the form; what is strange in its choices becomes what is usual. */
export function readWalkIn(fields: URLSearchParams, languages: readonly string[]): WalkInFields {
  const language = fields.get('language') ?? '';
  const minutes = Number(fields.get('minutes'));
  return {
    who: oneLine(fields.get('who') ?? ''),
    language: languages.includes(language) ? language : 'en',
    minutes: WALK_IN_MINUTES.find((one) => one === minutes) ?? USUAL,
  };
}

export const noWalkIn = (language: string): WalkInFields => ({ who: '', language, minutes: USUAL });

export const walkInIsGood = ({ who }: WalkInFields): boolean => who !== '' && [...who].length <= MAX_WALK_IN;
