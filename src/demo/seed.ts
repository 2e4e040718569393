import { assess } from '#shared/assess.ts';
import { parseCase } from '#shared/case.ts';
import type { PreVisitSummary } from '#shared/summary.ts';
import type { Clock } from '#src/clock.ts';
import type { Store } from '#src/store/store.ts';
import { verifyFirst } from '#src/turns/summary.ts';
import type { DemoFamily } from './family-parts.ts';
import { otherFamilies } from './other-families.ts';
import { urgentFamilies } from './urgent-families.ts';

const EVENT = 'demo';
const PLACE = 'US-WA';
const EVENT_IN_DAYS = 3;
const MINUTE_MS = 60_000;
const DAY_MS = 24 * 60 * MINUTE_MS;

/** An invented family's summary, decided by the rules like any other. */
function demoSummary(family: DemoFamily, number: number, at: Date): PreVisitSummary {
  const parsed = parseCase({ ...family.facts, asOf: at.toISOString().slice(0, 10), jurisdiction: PLACE });
  if (!parsed.ok) throw new Error(`Demo family ${number}: ${parsed.error.path} ${parsed.error.message}`);
  const assessment = assess(parsed.case);
  return {
    reference: `DEMO-${number}`,
    createdAt: at.toISOString(),
    language: family.language,
    channel: 'direct-line',
    complete: family.complete,
    person: family.person,
    event: EVENT,
    case: parsed.case,
    assessment,
    caregiverWords: [...family.words],
    verifyFirst: verifyFirst(assessment),
    notes: family.notes,
  };
}

/**
 * Puts an invented event with invented families into a store that holds no event and no case yet.
 * Gives false, and changes nothing, where there is one.
 */
export async function seedDemo(store: Store, { clock }: { readonly clock: Clock }): Promise<boolean> {
  const { total } = await store.cases.list({ pageSize: 1 });
  if (total > 0 || (await store.events.list()).length > 0) return false;
  const now = clock();
  await store.events.add({
    id: EVENT,
    name: 'Demo seat check (invented)',
    place: 'Fire station yard, Marrow Creek (invented)',
    timeZone: 'America/Los_Angeles',
    heldOn: new Date(now.getTime() + EVENT_IN_DAYS * DAY_MS).toISOString().slice(0, 10),
  });
  const today = now.toISOString().slice(0, 10);
  const families = [...otherFamilies(today), ...urgentFamilies(today)];
  for (const [i, family] of families.entries()) {
    const at = new Date(now.getTime() - (families.length - i) * 7 * MINUTE_MS);
    const summary = demoSummary(family, i + 1, at);
    await store.conversations.commit({
      conversationId: `demo-${i + 1}`,
      channel: 'direct-line',
      eventId: EVENT,
      language: family.language,
      state: family.person ? 'person' : family.complete ? 'sent' : 'talking',
      expectedVersion: 0,
      snapshot: null,
      incoming: null,
      reply: {
        say: [summary.reference],
        choices: [],
        many: false,
        asking: null,
        told: [],
        done: true,
        language: family.language,
      },
      replyId: `demo-${i + 1}-reply`,
      summary,
      effects: [],
      at: at.toISOString(),
    });
  }
  return true;
}
