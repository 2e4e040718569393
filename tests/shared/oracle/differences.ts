import { assess } from '#shared/assess.ts';
import type { Assessment, Forecast } from '#shared/assessment.ts';
import type { Case } from '#shared/case.ts';
import type { Raised } from './findings.ts';
import { MODES, type Status } from './point.ts';
import { type ChildView, judge, visitOf } from './whole.ts';

const show = ({ code, urgency, childId, seatId, positionId }: Omit<Raised, 'urgency'> & { urgency: string }) =>
  `${code} ${urgency} child=${childId} seat=${seatId} position=${positionId}`;

const FORECAST = ['mode', 'limit', 'earliest', 'likely', 'latest'] as const;

/** A status the oracle allows: the one of every completion, else unknown or one that no fitting completion gainsays. */
function statusAgrees(got: Status, at: readonly Status[]): boolean {
  if (at.length === 1) return got === at[0];
  if (got === 'unknown') return true;
  return got !== 'fits' && !at.includes('fits') && !at.includes('unknown') && at.includes(got);
}

function aboutChild(got: Assessment, view: ChildView): string[] {
  const out: string[] = [];
  const say = (what: string, engine: unknown, oracle: unknown) => {
    if (JSON.stringify(engine) !== JSON.stringify(oracle))
      out.push(`${what}: engine ${JSON.stringify(engine)}, oracle ${JSON.stringify(oracle)}`);
  };
  const child = got.children.find(({ childId }) => childId === view.childId);
  if (!child) return [`no assessment of ${view.childId}`];
  const { advice } = child;
  say('advised mode', advice.mode, view.mode);
  say('candidates', advice.candidates, view.candidates);
  say('certainty', advice.certainty, view.candidates.length === 1 ? 'settled' : 'provisional');
  say('needs nothing', advice.needs.length === 0, view.candidates.length === 1);
  say('seatChange', advice.seatChange, view.seatChange);
  if (view.candidates.length === 1) say('verify', advice.verify, view.mode === 'seat-belt' ? ['belt-fit'] : []);
  for (const mode of MODES)
    if (!statusAgrees(child.modes[mode].status, view.statuses[mode]))
      say(`status of ${mode}`, child.modes[mode].status, view.statuses[mode]);
  say('law', child.law.status, view.law.status);
  if (view.forecast) {
    const inOrder = (list: readonly Forecast[]) =>
      list.map((entry) => JSON.stringify(FORECAST.map((key) => entry[key]))).sort();
    say('forecast', inOrder(child.forecast), inOrder(view.forecast));
  }
  const use = got.uses.find(({ childId }) => childId === view.childId);
  if (view.use) {
    say('lower anchors', use?.lowerAnchors, view.use.lowerAnchors);
    say('seat belt', use?.seatBelt, view.use.seatBelt);
    say('tether', use?.tether, view.use.tether);
    const limit = use?.lowerAnchorLimitKg ?? null;
    const [min, max] = limit === null || typeof limit === 'number' ? [limit, limit] : [limit.min, limit.max];
    const near = (a: number | null, b: number | undefined) =>
      a === null || b === undefined ? a === (b ?? null) : Math.abs(a - b) < 1e-6;
    if (!near(min, view.use.limit?.min) || !near(max, view.use.limit?.max))
      say('lower-anchor limit', limit, view.use.limit);
  }
  return out;
}

/** Where the engine and the plain second reading of the rules disagree; null for a case with too many completions. */
export function differences(kase: Case): string[] | null {
  const want = judge(kase);
  if (!want) return null;
  const got = assess(kase);
  const out = want.children.flatMap((view) => aboutChild(got, view));
  const engine = new Set(got.findings.map(show));
  const oracle = new Set(want.findings.map(show));
  for (const finding of oracle) if (!engine.has(finding)) out.push(`not raised: ${finding}`);
  for (const finding of engine) if (!oracle.has(finding)) out.push(`wrongly raised: ${finding}`);
  const visit = visitOf(kase, want.findings);
  if (got.visit.minutes !== visit.minutes) out.push(`minutes: engine ${got.visit.minutes}, oracle ${visit.minutes}`);
  if (got.visit.priority !== visit.priority) out.push(`priority: ${got.visit.priority}, oracle ${visit.priority}`);
  return out;
}
