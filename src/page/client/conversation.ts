import type { RenderedReply } from '#src/turns/rendered-reply.ts';
import type { PageWords } from '../page-words.ts';
import { ECHO, isPhotoId } from '../photo-ids.ts';
import { type ActivitySet, botLine, type Line, withActivities } from './activities.ts';
import type { Outgoing, Started } from './api.ts';

/** All the page knows of the conversation. */
export interface Conversation {
  /** Null while it is being opened. */
  readonly started: Started | null;
  readonly conversationId: string | null;
  readonly lines: readonly Line[];
  readonly watermark: string;
  /** Written here and not answered yet, oldest first. */
  readonly waiting: readonly Outgoing[];
  /** How often in a row the server was not heard. */
  readonly failures: number;
  /** Why the last message, or the last photo, is not sent; by the name of its words. */
  readonly problem: keyof PageWords | null;
  /** Small pictures of photos that were sent from here, by the ids of their lines. */
  readonly previews: Readonly<Record<string, string>>;
  /** How much of the photo that is being sent has arrived, from 0 to 1. */
  readonly progress: number | null;
  /** A private link was followed that opens nothing any more. */
  readonly linkOver: boolean;
}

export type Happening =
  | { readonly kind: 'started'; readonly started: Started; readonly byLink: boolean }
  | { readonly kind: 'written'; readonly message: Outgoing }
  | { readonly kind: 'answered'; readonly id: string; readonly set: ActivitySet }
  | { readonly kind: 'looked'; readonly set: ActivitySet }
  | { readonly kind: 'failed' }
  | { readonly kind: 'retried' }
  /** The token has run out: the conversation is opened again with the device's key. */
  | { readonly kind: 'expired' }
  | { readonly kind: 'refused'; readonly id: string; readonly problem: keyof PageWords }
  | { readonly kind: 'unusable'; readonly problem: keyof PageWords }
  | { readonly kind: 'uploaded'; readonly share: number }
  | { readonly kind: 'cancelled'; readonly id: string }
  | { readonly kind: 'left' };

export const NOT_STARTED: Conversation = {
  started: null,
  conversationId: null,
  lines: [],
  watermark: '0',
  waiting: [],
  failures: 0,
  problem: null,
  previews: {},
  progress: null,
  linkOver: false,
};

/** The page before its conversation is open, with the first turn it was served with. */
export const greeted = (greeting: RenderedReply | null): Conversation => ({
  ...NOT_STARTED,
  lines: greeting ? [botLine('greeting', greeting, [])] : [],
});

const without = (waiting: readonly Outgoing[], id: string) => waiting.filter((message) => message.id !== id);

export const isPhoto = ({ id, from }: Line): boolean => from === 'you' && isPhotoId(id);

export function next(state: Conversation, happening: Happening): Conversation {
  switch (happening.kind) {
    case 'started': {
      const { started } = happening;
      const { conversationId } = started;
      const lines = withActivities(state.conversationId === conversationId ? state.lines : [], started.activities);
      const heard = new Set(lines.map((line) => line.id));
      const waiting = state.waiting.filter((message) => !heard.has(ECHO + message.id));
      const linkOver = happening.byLink && !started.resumed;
      return { ...state, started, conversationId, lines, waiting, linkOver, watermark: started.watermark, failures: 0 };
    }
    case 'written': {
      const { message } = happening;
      const preview = message.photo?.preview;
      const previews = preview ? { ...state.previews, [ECHO + message.id]: preview } : state.previews;
      return { ...state, waiting: [...state.waiting, message], previews, problem: null };
    }
    case 'answered':
    case 'looked': {
      const { set } = happening;
      return {
        ...state,
        lines: withActivities(state.lines, set.activities),
        watermark: set.watermark,
        waiting: happening.kind === 'answered' ? without(state.waiting, happening.id) : state.waiting,
        progress: null,
        failures: 0,
      };
    }
    case 'failed':
      return { ...state, failures: state.failures + 1, progress: null };
    case 'retried':
      return { ...state, failures: 0 };
    case 'expired':
      return { ...state, started: null };
    case 'refused':
      return {
        ...state,
        waiting: without(state.waiting, happening.id),
        progress: null,
        failures: 0,
        problem: happening.problem,
      };
    case 'unusable':
      return { ...state, problem: happening.problem };
    case 'uploaded':
      return { ...state, progress: happening.share };
    case 'cancelled':
      return { ...state, waiting: without(state.waiting, happening.id), progress: null, failures: 0 };
    case 'left':
      return NOT_STARTED;
  }
}

/** The bot's last reply, if nothing newer stands behind it and nothing is on its way. */
export function openReply(state: Conversation) {
  const last = state.lines.findLast((line) => line.from === 'bot' || line.from === 'you');
  return state.waiting.length === 0 ? (last?.reply ?? null) : null;
}

/** The caregiver had everything deleted; the server keeps no thread. */
export function isDeleted(state: Conversation): boolean {
  return state.watermark === 'end';
}
