import type { JSX } from 'preact';
import { textDirection } from '../direction.ts';
import type { PageWords } from '../page-words.ts';
import type { Line } from './activities.ts';
import type { Conversation } from './conversation.ts';

/** Who speaks, for ears only: the eyes see it by side and colour. */
function speaker(line: Line, words: PageWords): string {
  if (line.from === 'you') return words.you;
  return line.from === 'technician' ? words.technician : 'Lapwing';
}

function ThreadLine({ line, words }: { line: Line; words: PageWords }): JSX.Element {
  const urgent = (line.reply?.told.length ?? 0) > 0;
  const language = line.language
    ? { lang: line.language, dir: textDirection(line.language) }
    : { dir: 'auto' as const };
  return (
    <li class={`line ${line.from}${urgent ? ' urgent' : ''}`} data-id={line.id}>
      <span class={line.from === 'technician' ? 'who' : 'unseen'}>{speaker(line, words)}</span>
      {urgent && <strong class="alarm">{words.urgent}</strong>}
      <div class="said" {...language}>
        {line.say.map((text) => (
          <p key={text}>{text}</p>
        ))}
      </div>
    </li>
  );
}

export interface ThreadProps {
  readonly state: Conversation;
  readonly words: PageWords;
  readonly onRetry: () => void;
}

/** What was said so far, then what is on its way. New lines are spoken by the announcer, not by this list. */
export function Thread({ state, words, onRetry }: ThreadProps): JSX.Element {
  const failing = state.failures > 0;
  return (
    <div role="log" aria-live="off" aria-label={words.thread} class="thread">
      <ol>
        {state.lines.map((line) => (
          <ThreadLine key={line.id} line={line} words={words} />
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
      {!failing && (state.waiting.length > 0 || state.started === null) && (
        <p class="working">
          <i />
          <i />
          <i />
          <span>{state.started === null ? words.working : words.sending}</span>
        </p>
      )}
    </div>
  );
}
