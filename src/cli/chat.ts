import { randomUUID } from 'node:crypto';
import { writeFileSync } from 'node:fs';
import { createInterface } from 'node:readline';
import { parseArgs } from 'node:util';
import { standing } from '#dialogs/conversation.ts';
import { readSnapshot } from '#dialogs/snapshot.ts';
import { isFullDate } from '#shared/dates.ts';
import type { PreVisitSummary } from '#shared/summary.ts';
import { numberedLines } from '#src/channels/plain-text/numbered-lines.ts';
import { DEMO_EVENT, demoEvent } from '#src/demo/demo-event.ts';
import { createReadTimes } from '#src/events/event-times.ts';
import { createEars } from '#src/locales/ears.ts';
import { openStore } from '#src/store/open-store.ts';
import type { TurnCommit } from '#src/store/store.ts';
import { newReference } from '#src/turns/reference.ts';
import type { RenderedReply } from '#src/turns/rendered-reply.ts';
import { summaryOf } from '#src/turns/summary.ts';
import { createTurns, ourLanguage } from '#src/turns/turns.ts';
import { createVoice } from '#src/words/voice.ts';
import { createWords } from '#src/words/words.ts';

const USAGE = 'usage: npm run -s chat -- [--lang TAG] [--event ID] [--today YYYY-MM-DD] [--json] [--summary FILE]';

function settings() {
  try {
    const { values } = parseArgs({
      options: {
        lang: { type: 'string' },
        event: { type: 'string' },
        today: { type: 'string' },
        json: { type: 'boolean', default: false },
        summary: { type: 'string' },
      },
    });
    if (values.today !== undefined && !isFullDate(values.today)) throw new Error('--today is not a date YYYY-MM-DD');
    if (values.lang !== undefined && !ourLanguage(values.lang))
      throw new Error(`--lang ${values.lang} is not a language of this project`);
    return values;
  } catch (error) {
    console.error(`${(error as Error).message}\n${USAGE}`);
    process.exit(2);
  }
}

const asText = (reply: RenderedReply): string => numberedLines(reply).join('\n');

function asJson({ language: _, seating: __, ...turn }: RenderedReply): string {
  return JSON.stringify(turn);
}

const { lang, event, today, json, summary } = settings();
const clock = (): Date => (today === undefined ? new Date() : new Date(`${today}T12:00:00Z`));
const store = await openStore({ dataDir: ':memory:', clock });
// The terminal knows the demo event only: no database of the service is opened for it.
if (event === DEMO_EVENT) await store.events.add(demoEvent(clock()));
let last: TurnCommit | null = null;
/** A second car that is not finished does not hide the first one that is. */
let finished: PreVisitSummary | null = null;
const turns = createTurns({
  conversations: {
    ...store.conversations,
    commit: async (turn) => {
      const result = await store.conversations.commit(turn);
      if (result === 'committed') last = turn;
      if (result === 'committed' && turn.summary?.complete) finished = turn.summary;
      return result;
    },
  },
  voice: createVoice(createWords()),
  ears: createEars(),
  clock,
  newReference,
  newId: randomUUID,
  eventTimes: { read: createReadTimes({ store, clock }) },
});

const opening = {
  conversationId: randomUUID(),
  channel: 'terminal' as const,
  ...(lang !== undefined && { language: lang }),
  ...(event !== undefined && { eventId: event }),
};

const print = (reply: RenderedReply): void => console.log(json ? asJson(reply) : `${asText(reply)}\n`);

print((await turns.open(opening)).reply);
for await (const text of createInterface({ input: process.stdin }))
  print((await turns.handle({ ...opening, activityId: randomUUID(), text })).reply);

const stood = last as TurnCommit | null;
if (summary !== undefined && stood && stood.state !== 'deleted') {
  const read = readSnapshot(stood.snapshot);
  if (read.ok) {
    const record = summaryOf(standing(read.snapshot), { channel: 'terminal', createdAt: clock().toISOString() });
    const first = finished as PreVisitSummary | null;
    const isNext =
      first !== null && read.snapshot.context.earlier.some(({ reference }) => reference === first.reference);
    writeFileSync(summary, `${JSON.stringify(isNext ? first : record, null, 2)}\n`);
  }
}
await store.close();
