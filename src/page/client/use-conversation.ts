import { useEffect, useLayoutEffect, useReducer, useRef } from 'preact/hooks';
import { PHOTO } from '../photo-ids.ts';
import { ApiError, look, newMessageId, type Outgoing, type Started, sendMessage, sendPhoto, start } from './api.ts';
import { type Conversation, greeted, isDeleted, NOT_STARTED, next, openReply } from './conversation.ts';
import { data } from './data.ts';
import { type Kept, keep, recall } from './device.ts';
import { prepare } from './photo.ts';

const AFTER_LOOK_MS = 6000;
const IDLE_LOOK_MS = 20_000;
const LONGEST_WAIT_MS = 15_000;

/** Half a second, then twice as long with each failure. */
const backoff = (failures: number) => (failures === 0 ? 0 : Math.min(500 * 2 ** failures, LONGEST_WAIT_MS));

const refusedPhoto = { 400: 'photoNot', 413: 'photoLarge' } as const;

function outgoing(
  started: Started,
  watermark: string,
  message: Outgoing,
  onProgress: (share: number) => void,
  signal: AbortSignal,
) {
  const { photo } = message;
  if (!photo) return sendMessage(started, watermark, message);
  return sendPhoto(started, watermark, { ...message, photo }, onProgress, signal);
}

/** Runs `work` after a wait, or as soon as the device is back online; gives the way to call it off. */
function soon(work: () => void, waitMs: number): () => void {
  const timer = setTimeout(work, waitMs);
  const now = () => {
    clearTimeout(timer);
    work();
  };
  if (waitMs > 0) addEventListener('online', now, { once: true });
  return () => {
    clearTimeout(timer);
    removeEventListener('online', now);
  };
}

export interface ConversationHandle {
  readonly state: Conversation;
  send(text: string, choiceIds?: readonly string[]): void;
  sendFile(file: File): Promise<void>;
  cancel(id: string): void;
  retry(): void;
  /** Forgets the conversation on this device and opens another one. */
  leave(): void;
}

/** What a visit begins with: the greeting at a first one, and what was not sent at a later one. */
function beginning({ key, waiting }: Kept, linkKey: string | null): Conversation {
  if (linkKey) return NOT_STARTED;
  return key ? { ...NOT_STARTED, waiting } : greeted(data.greeting);
}

export function useConversation(
  event: string | null,
  walkIn: string | null,
  language: string | null,
  linkKey: string | null,
): ConversationHandle {
  const [state, dispatch] = useReducer(next, null, () => beginning(recall(event, walkIn), linkKey));
  const link = useRef(linkKey);
  const { started, failures, waiting, watermark } = state;
  const first = waiting[0];

  useEffect(() => {
    if (started) return;
    let dropped = false;
    const open = () =>
      start({ key: link.current ?? recall(event, walkIn).key, event, walkIn, language }).then(
        (opened) => {
          if (dropped) return;
          dispatch({ kind: 'started', started: opened, byLink: link.current !== null });
          link.current = null;
        },
        () => dropped || dispatch({ kind: 'failed' }),
      );
    const callOff = soon(open, backoff(failures));
    return () => {
      dropped = true;
      callOff();
    };
  }, [started, failures]);

  // Before the screen shows what happened, so that closing the page at once loses nothing.
  useLayoutEffect(() => {
    if (!started) return;
    const held = state.lines.findLast((line) => line.from === 'bot')?.language ?? null;
    // A photo is too large to be kept on the device, and the page says so.
    const words = waiting.filter(({ photo }) => !photo);
    keep(event, walkIn, { key: isDeleted(state) ? null : started.key, waiting: words, language: held });
  }, [started, waiting, watermark]);

  useEffect(() => {
    if (!started || !first) return;
    let dropped = false;
    const failed = (error: unknown) => {
      const status = error instanceof ApiError ? error.status : 0;
      if (status === 401 || status === 403 || status === 404) dispatch({ kind: 'expired' });
      else if (status === 400 || status === 413)
        dispatch({ kind: 'refused', id: first.id, problem: first.photo ? refusedPhoto[status] : 'tooLong' });
      else dispatch({ kind: 'failed' });
    };
    const off = new AbortController();
    const onProgress = (share: number) => dropped || dispatch({ kind: 'uploaded', share });
    const attempt = () =>
      outgoing(started, watermark, first, onProgress, off.signal).then(
        (set) => dropped || dispatch({ kind: 'answered', id: first.id, set }),
        (error) => dropped || failed(error),
      );
    const callOff = soon(attempt, backoff(failures));
    return () => {
      dropped = true;
      callOff();
      off.abort();
    };
  }, [started, first?.id, failures]);

  // Once the questions are over a person may write at any time.
  const over = openReply(state)?.done === true;
  useEffect(() => {
    if (!started || first || isDeleted(state)) return;
    const check = () => {
      if (document.visibilityState !== 'visible') return;
      look(started, watermark).then(
        (set) => dispatch({ kind: 'looked', set }),
        (error) => error instanceof ApiError && error.status === 403 && dispatch({ kind: 'expired' }),
      );
    };
    const timer = setInterval(check, over ? AFTER_LOOK_MS : IDLE_LOOK_MS);
    document.addEventListener('visibilitychange', check);
    return () => {
      clearInterval(timer);
      document.removeEventListener('visibilitychange', check);
    };
  }, [started, first?.id, watermark, over]);

  return {
    state,
    send: (text, choiceIds = []) => dispatch({ kind: 'written', message: { id: newMessageId(), text, choiceIds } }),
    sendFile: async (file) => {
      const photo = await prepare(file);
      if (typeof photo === 'string') dispatch({ kind: 'unusable', problem: photo });
      else dispatch({ kind: 'written', message: { id: `${PHOTO}${newMessageId()}`, text: '', choiceIds: [], photo } });
    },
    cancel: (id) => dispatch({ kind: 'cancelled', id }),
    retry: () => dispatch({ kind: 'retried' }),
    leave: () => {
      keep(event, walkIn, { key: null, waiting: [], language: null });
      dispatch({ kind: 'left' });
    },
  };
}
