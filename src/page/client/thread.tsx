import type { JSX } from 'preact';
import type { RenderedReply } from '#src/turns/rendered-reply.ts';
import { textDirection } from '../direction.ts';
import type { PageWords } from '../page-words.ts';
import type { Line } from './activities.ts';
import { type Conversation, isPhoto, openReply } from './conversation.ts';
import { repeatedLines } from './review-choices.tsx';
import { PhotoItem, WaitingLine } from './waiting-line.tsx';

/** A turn of more paragraphs is a list to look through, such as the review, and is set closer. */
const LONG_TURN = 6;

/** Who speaks, for ears only: the eyes see it by side and colour. */
function speaker(line: Line, words: PageWords): string {
  if (line.from === 'you') return words.you;
  return line.from === 'technician' ? words.technician : 'Lapwing';
}

function Paragraphs({ texts }: { texts: readonly string[] }): JSX.Element {
  return (
    <>
      {texts.map((text) => (
        <p key={text}>{text}</p>
      ))}
    </>
  );
}

/** The dangers, each a paragraph, and what to do until the visit; then comes the question, or the review with its lines. */
function dangerIn(reply: RenderedReply): { readonly from: number; readonly to: number } {
  const { say, asking, told } = reply;
  if (asking === null || say.length < 2) return { from: 0, to: say.length };
  const lines = repeatedLines(reply);
  const to = lines ? Math.max(1, lines.from - 1) : say.length - 1;
  return { from: Math.max(0, to - told.length - 1), to };
}

/** The bot's turn that tells a danger: the danger is set apart, what is before and after it is not. */
function Danger({
  reply,
  say,
  words,
}: {
  reply: RenderedReply;
  say: readonly string[];
  words: PageWords;
}): JSX.Element {
  const { from, to } = dangerIn(reply);
  return (
    <>
      <Paragraphs texts={say.slice(0, from)} />
      <div class="danger">
        <strong class="alarm">
          <span>{words.urgent}</span>
        </strong>
        <Paragraphs texts={say.slice(from, to)} />
      </div>
      <Paragraphs texts={say.slice(to)} />
    </>
  );
}

interface ThreadLineProps {
  readonly line: Line;
  readonly words: PageWords;
  /** It asks the question that is open now: what the buttons repeat is not shown twice. */
  readonly open: boolean;
  /** It is the last thing the caregiver sent, and it has arrived. */
  readonly sent: boolean;
  readonly preview: string | null;
}

function ThreadLine({ line, words, open, sent, preview }: ThreadLineProps): JSX.Element {
  const lines = open && line.reply ? repeatedLines(line.reply) : null;
  const say = lines ? line.say.slice(0, lines.from) : line.say;
  const language = line.language
    ? { lang: line.language, dir: textDirection(line.language) }
    : { dir: 'auto' as const };
  const danger = line.reply !== null && line.reply.told.length > 0;
  return (
    <li class={`line ${line.from}`} data-id={line.id}>
      <span class={line.from === 'technician' ? 'who' : 'unseen'}>{speaker(line, words)}</span>
      <div class={say.length > LONG_TURN ? 'said long' : 'said'} {...language}>
        {danger && line.reply ? (
          <Danger reply={line.reply} say={say} words={words} />
        ) : isPhoto(line) ? (
          <PhotoItem words={words} preview={preview} />
        ) : (
          <Paragraphs texts={say} />
        )}
      </div>
      {sent && <p class="delivery">{words.sent}</p>}
    </li>
  );
}

export interface ThreadProps {
  readonly state: Conversation;
  readonly words: PageWords;
  readonly onRetry: () => void;
  readonly onCancel: (id: string) => void;
  /** A photo is made ready to be sent. */
  readonly preparing: boolean;
}

/** The bot's turns without words, while a person has the conversation, only offer choices. */
const isSpoken = ({ say }: Line): boolean => say.length > 0;

/** What is being done; null for nothing, and where the photo on its way says it itself. */
function workingWords({ waiting, lines }: Conversation, words: PageWords, preparing: boolean): string | null {
  if (preparing) return words.photoPreparing;
  if (waiting.length > 0) return waiting[0]?.photo ? null : words.sending;
  return lines.length === 0 ? words.working : null;
}

/** What was said so far, then what is on its way. New lines are spoken by the announcer, not by this list. */
export function Thread({ state, words, onRetry, onCancel, preparing }: ThreadProps): JSX.Element {
  const failing = state.failures > 0;
  const working = workingWords(state, words, preparing);
  const open = openReply(state);
  const own = state.waiting.length === 0 ? state.lines.findLast((line) => line.from === 'you') : undefined;
  return (
    <div role="log" aria-live="off" aria-label={words.thread} class="thread">
      <ol>
        {state.lines.filter(isSpoken).map((line) => (
          <ThreadLine
            key={line.id}
            line={line}
            words={words}
            open={open !== null && line.reply === open}
            sent={line === own}
            preview={state.previews[line.id] ?? null}
          />
        ))}
        {state.waiting.map((message, i) => (
          <WaitingLine
            key={message.id}
            message={message}
            words={words}
            failing={failing}
            progress={i === 0 ? state.progress : null}
            onCancel={onCancel}
          />
        ))}
      </ol>
      {failing && (
        <p class="trouble">
          <span>{words.offline}</span>
          <button type="button" class="plain" onClick={onRetry}>
            {words.retry}
          </button>
        </p>
      )}
      {!failing && working && (
        <p class="working">
          <i />
          <i />
          <i />
          <span>{working}</span>
        </p>
      )}
    </div>
  );
}
