import { assess } from '#shared/assess.ts';
import { parseCase } from '#shared/case.ts';
import { freeTimes, slotStarts } from '#shared/events/free-times.ts';
import type { PreVisitSummary } from '#shared/summary.ts';
import type { Clock } from '#src/clock.ts';
import type { Store } from '#src/store/store.ts';
import { verifyFirst } from '#src/turns/summary.ts';
import { DEMO_EVENT, demoEvent } from './demo-event.ts';
import type { DemoFamily } from './family-parts.ts';
import { otherFamilies } from './other-families.ts';
import { urgentFamilies } from './urgent-families.ts';

const PLACE = 'US-WA';
const MINUTE_MS = 60_000;
/** About which slot each family has booked, by its number; the others have not chosen yet. */
const SLOTS: Readonly<Record<number, number>> = { 1: 0, 2: 1, 3: 4, 5: 3, 6: 6, 7: 10 };

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
    event: DEMO_EVENT,
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
  const event = demoEvent(now);
  await store.events.add(event);
  const starts = slotStarts(event);
  /** The first time from that slot on that has room for the family. */
  const timeFor = async (number: number, minutes: number) => {
    const from = starts[SLOTS[number] ?? -1];
    const free = freeTimes(event, await store.arrivals.taken(event.id));
    return from && free.find((time) => time.start >= from && time.minutes >= minutes)?.start;
  };
  const today = now.toISOString().slice(0, 10);
  const families = [...otherFamilies(today), ...urgentFamilies(today)];
  for (const [i, family] of families.entries()) {
    const at = new Date(now.getTime() - (families.length - i) * 7 * MINUTE_MS);
    const summary = demoSummary(family, i + 1, at);
    const { minutes } = summary.assessment.visit;
    const start = await timeFor(i + 1, minutes);
    await store.conversations.commit({
      conversationId: `demo-${i + 1}`,
      channel: 'direct-line',
      eventId: DEMO_EVENT,
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
      earlier: [],
      effects: [],
      ...(start && { booking: { start, minutes, linkHash: null } }),
      at: at.toISOString(),
    });
  }
  return true;
}
