import type { Response } from 'restify';
import { signalledEvent } from '#src/store/events.ts';
import type { Access } from '#src/store/people.ts';
import type { Store } from '#src/store/store.ts';
import { seesEvent } from './access.ts';
import { LIVE_HEADERS } from './send-page.ts';

/** Changes within this time are told together. */
const GATHER_MS = 400;
/** Keeps proxies from closing a quiet stream; a session that ended elsewhere is noticed by then. */
const BEAT_MS = 15_000;
/** Every so many beats pages look for themselves, since a call may be missed between instances. */
const LOOK_BEATS = 4;
const MOST_STREAMS = 200;
/** A change of more families than this is told without their names. */
const MOST_NAMED = 50;

/** Tells open desk pages that families are new or changed, and that boards of events are, as server-sent events. */
export interface Live {
  /** False, and nothing is sent, where there are too many streams already or the service stops. */
  open(res: Response, session: string): boolean;
  /** Looks now whether the session of each stream still holds. */
  recheck(): void;
  /** Ends the streams of a session, by the hash of its token. */
  end(session: string): void;
  close(): void;
}

interface Stream {
  readonly res: Response;
  readonly session: string;
}

const message = (event: string, data: object): string => `event: ${event}\ndata: ${JSON.stringify(data)}\n\n`;

type LiveStore = Pick<Store, 'conversations' | 'cases' | 'sessions'>;

export function createLive({ conversations, cases, sessions }: LiveStore, idleMs: number | null = null): Live {
  const streams = new Set<Stream>();
  const changed = new Set<string>();
  let gathering: NodeJS.Timeout | null = null;
  let closed = false;

  const endStream = (stream: Stream, last = ''): void => {
    streams.delete(stream);
    stream.res.end(last);
  };
  const signedOut = (stream: Stream) => endStream(stream, message('signed-out', {}));

  /** To every stream whose session still holds, in the words for its person; null: nothing for them. */
  async function tell(wordsFor: (person: Access) => string | null): Promise<void> {
    const open = new Set([...streams].map(({ session }) => session));
    for (const session of open) {
      const person = await sessions.find(session, idleMs);
      const text = person && wordsFor(person);
      for (const stream of [...streams].filter((one) => one.session === session))
        if (!person) signedOut(stream);
        else if (text !== null) stream.res.write(text);
    }
  }

  /** The cases of a conversation, which share their thread and their event. */
  async function casesOf(conversationId: string) {
    const references = await cases.referencesOf(conversationId);
    const found = references[0] === undefined ? null : await cases.eventOf(references[0]);
    return found && { references, eventId: found.eventId };
  }

  async function tellChanges(): Promise<void> {
    gathering = null;
    const signals = [...changed].slice(0, MOST_NAMED + 1);
    changed.clear();
    const events = signals.flatMap((signal) => signalledEvent(signal) ?? []);
    const ids = signals.filter((signal) => signalledEvent(signal) === null);
    if (events.length > 0)
      await tell((person) => {
        const seen = events.filter((id) => seesEvent(person, id));
        return seen.length > 0 ? message('events', { ids: seen }) : null;
      });
    if (ids.length === 0) return;
    if (signals.length > MOST_NAMED) return tell(() => message('cases', { references: [] }));
    const found = await Promise.all(ids.map(casesOf));
    await tell((person) => {
      // A family that is gone has no event any more; that something is gone is told to all.
      const seen = found.filter((one) => one === null || seesEvent(person, one.eventId));
      const references = seen.flatMap((one) => one?.references ?? []);
      return seen.length > 0 ? message('cases', { references }) : null;
    });
  }

  /** A store that cannot be asked ends the streams: pages then offer to load again. */
  const orEnd = (work: Promise<void>): void => {
    work.catch(() => {
      for (const stream of [...streams]) endStream(stream);
    });
  };

  const stopWatching = conversations.watch((conversationId) => {
    if (streams.size === 0) return;
    changed.add(conversationId);
    gathering ??= setTimeout(() => orEnd(tellChanges()), GATHER_MS).unref();
  });
  let beats = 0;
  const beat = setInterval(() => {
    beats += 1;
    const beatText = beats % LOOK_BEATS === 0 ? message('cases', { references: [] }) : ':\n\n';
    orEnd(tell(() => beatText));
  }, BEAT_MS).unref();

  return {
    open(res, session) {
      if (closed || streams.size >= MOST_STREAMS) return false;
      const stream = { res, session };
      res.writeHead(200, LIVE_HEADERS);
      res.write('retry: 3000\n\n');
      streams.add(stream);
      res.on('close', () => streams.delete(stream));
      return true;
    },
    recheck: () => orEnd(tell(() => null)),
    end(session) {
      for (const stream of [...streams]) if (stream.session === session) signedOut(stream);
    },
    close() {
      closed = true;
      stopWatching();
      clearInterval(beat);
      if (gathering) clearTimeout(gathering);
      for (const stream of [...streams]) endStream(stream);
    },
  };
}
