import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { RenderedReply } from '#src/turns/rendered-reply.ts';
import { textDirection } from '../direction.ts';
import type { PageWords } from '../page-words.ts';
import { ReviewChoices, repeatedLines } from './review-choices.tsx';
import { SeatMap } from './seat-map.tsx';

export interface ChoicesProps {
  readonly reply: RenderedReply;
  readonly words: PageWords;
  readonly onChoose: (text: string, choiceIds: readonly string[]) => void;
}

/** These answer for the whole list, so each is sent by itself. */
const WHOLE = new Set(['none', 'unsure']);

export function Buttons({
  reply,
  only,
  onChoose,
}: Omit<ChoicesProps, 'words'> & { only?: ReadonlySet<string> }): JSX.Element {
  return (
    <div class="buttons">
      {reply.choices
        .filter(({ id }) => only === undefined || only.has(id))
        .map(({ id, text }) => (
          <button key={id} type="button" class="choice" onClick={() => onChoose(text, [id])}>
            {text}
          </button>
        ))}
    </div>
  );
}

function Checklist({ reply, words, onChoose }: ChoicesProps): JSX.Element {
  const [ticked, setTicked] = useState<ReadonlySet<string>>(new Set());
  const parts = reply.choices.filter(({ id }) => !WHOLE.has(id));
  const chosen = parts.filter(({ id }) => ticked.has(id));
  const toggle = (id: string) => {
    const after = new Set(ticked);
    if (!after.delete(id)) after.add(id);
    setTicked(after);
  };
  const send = (event: Event) => {
    event.preventDefault();
    if (chosen.length > 0)
      onChoose(
        chosen.map(({ text }) => text).join('; '),
        chosen.map(({ id }) => id),
      );
  };
  return (
    <form onSubmit={send}>
      <fieldset>
        <legend class="unseen">{words.chooseMany}</legend>
        {parts.map(({ id, text }) => (
          <label key={id} class="tick">
            <input type="checkbox" checked={ticked.has(id)} onChange={() => toggle(id)} />
            <span>{text}</span>
          </label>
        ))}
      </fieldset>
      {chosen.length > 0 ? (
        <button type="submit" class="send-chosen">
          {words.sendChosen}
        </button>
      ) : (
        <Buttons reply={reply} only={WHOLE} onChoose={onChoose} />
      )}
    </form>
  );
}

function Kind(props: ChoicesProps): JSX.Element {
  const { asking, many } = props.reply;
  if (many) return <Checklist {...props} />;
  if (asking === 'position') return <SeatMap {...props} />;
  return repeatedLines(props.reply) ? <ReviewChoices {...props} /> : <Buttons {...props} />;
}

/** Quick replies to the question that is open now. */
export function Choices(props: ChoicesProps): JSX.Element {
  const { language } = props.reply;
  return (
    <div class="choices" lang={language} dir={textDirection(language)}>
      <Kind {...props} />
    </div>
  );
}
