import type { Assessment, Finding } from '#shared/assessment.ts';

/** What makes a danger the same danger on a later turn. */
export const dangerKey = ({ code, childId, seatId }: Finding): string =>
  [code, childId ?? '-', seatId ?? '-'].join(':');

export interface DangerNews {
  /** Dangers that are certain now and were not said yet. */
  readonly fresh: readonly Finding[];
  /** Keys of dangers said earlier that no longer hold after a correction. */
  readonly lifted: readonly string[];
  /** Keys of all dangers said, after this turn. */
  readonly told: readonly string[];
}

/**
 * What has to be said at once: every finding before the next trip, as soon as it holds in every completion. While a
 * question is `reopened` its facts are only missing, so nothing is taken back yet.
 */
export function dangerNews(assessment: Assessment, told: readonly string[], reopened: boolean): DangerNews {
  const urgent = assessment.findings.filter(({ urgency }) => urgency === 'before-next-trip');
  const keys = urgent.map(dangerKey);
  // A danger whose facts are only unknown again may still be there: nothing is taken back.
  const possible = new Set<string>(assessment.unknowns.flatMap(({ couldRaise }) => couldRaise));
  const gone = told.filter((key) => !keys.includes(key));
  return {
    fresh: urgent.filter((finding) => !told.includes(dangerKey(finding))),
    lifted: reopened ? [] : gone.filter((key) => !possible.has(key.split(':')[0] as string)),
    told: reopened ? [...keys, ...gone] : keys,
  };
}
