import type { Forecast } from '#shared/assessment.ts';
import type { AdvisedMode, ModeInUse } from '#shared/case.ts';
import { monthsAhead } from './growth.ts';
import { above, MODES, type Point } from './point.ts';

function monthAfter(asOf: string, months: number | null): string | null {
  if (months === null) return null;
  const [year = 0, month = 1] = asOf.split('-').map(Number);
  return new Date(Date.UTC(year, month - 1 + months, 1)).toISOString().slice(0, 7);
}

/** When each limit of the mode in use and of the advised mode is reached (rules.md, Growth), for a child of exact facts. */
export function forecastsOf(point: Point, advised: AdvisedMode): Forecast[] {
  const { child, use, seat, kase } = point;
  if (!use || !seat || !child.stated.age || child.medical || (child.preterm && child.age < 24)) return [];
  const wanted: readonly (ModeInUse | null | undefined)[] = [use.mode, advised];
  const out: Forecast[] = [];
  for (const mode of MODES.filter((name) => wanted.includes(name)))
    for (const limit of ['weight', 'height'] as const) {
      const most = limit === 'weight' ? point.limits[mode]?.maxWeight : point.limits[mode]?.maxHeight;
      if (most == null || !child.stated[limit]) continue;
      const passed = above(child[limit], most);
      const ahead = passed
        ? { earliest: 0, likely: 0, latest: 0 }
        : monthsAhead(limit, child.sex, child.age, child[limit], most);
      out.push({
        mode,
        limit,
        earliest: monthAfter(kase.asOf, ahead.earliest),
        likely: monthAfter(kase.asOf, ahead.likely),
        latest: monthAfter(kase.asOf, ahead.latest),
      });
    }
  return out;
}
