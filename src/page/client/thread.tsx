import type { JSX } from 'preact';
import type { RenderedReply } from '#src/turns/rendered-reply.ts';
import { textDirection } from '../direction.ts';
import type { PageWords } from '../page-words.ts';
import type { Line } from './activities.ts';
import { type Conversation, openReply } from './conversation.ts';
import { repeatedLines } from './review-choices.tsx';

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
}

function ThreadLine({ line, words, open, sent }: ThreadLineProps): JSX.Element {
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
        {danger && line.reply ? <Danger reply={line.reply} say={say} words={words} /> : <Paragraphs texts={say} />}
      </div>
      {sent && <p class="delivery">{words.sent}</p>}
    </li>
  );
}

export interface ThreadProps {
  readonly state: Conversation;
  readonly words: PageWords;
  readonly onRetry: () => void;
}

/** The bot's turns without words, while a person has the conversation, only offer choices. */
const isSpoken = ({ say }: Line): boolean => say.length > 0;

/** What was said so far, then what is on its way. New lines are spoken by the announcer, not by this list. */
export function Thread({ state, words, onRetry }: ThreadProps): JSX.Element {
  const failing = state.failures > 0;
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
          />
        ))}
        {state.waiting.map((message) => (
          <li key={message.id} class="line you waiting" data-id={message.id}>
            <span class="unseen">{words.you}</span>
            <div class="said" dir="auto">
              <p>{message.text}</p>
            </div>
            {failing && <p class="delivery">{words.failed}</p>}
          </li>
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
      {!failing && (state.waiting.length > 0 || state.lines.length === 0) && (
        <p class="working">
          <i />
          <i />
          <i />
          <span>{state.waiting.length === 0 ? words.working : words.sending}</span>
        </p>
      )}
    </div>
  );
}
