import type { JSX } from 'preact';
import type { RenderedReply } from '#src/turns/rendered-reply.ts';
import { Buttons, type ChoicesProps } from './choices.tsx';
import { SeatingMaps } from './seating-maps.tsx';

/** Where the lines that can be corrected begin and end among what is said; null where the choices repeat none. */
export function repeatedLines({ say, choices }: RenderedReply): { readonly from: number; readonly to: number } | null {
  const offered = new Set(choices.map(({ text }) => text));
  const from = say.findIndex((text) => offered.has(text));
  if (from === -1) return null;
  return { from, to: say.findLastIndex((text) => offered.has(text)) + 1 };
}

/** The review: each line once, as the button that corrects it; then the question and its answer. */
export function ReviewChoices({ reply, words, onChoose }: ChoicesProps): JSX.Element {
  const said = new Set(reply.say);
  const lines = reply.choices.filter(({ text }) => said.has(text));
  const others = new Set(reply.choices.filter(({ text }) => !said.has(text)).map(({ id }) => id));
  const after = reply.say.slice(repeatedLines(reply)?.to);
  return (
    <>
      <p class="hint">{words.tapToChange}</p>
      <ul class="review">
        {lines.map(({ id, text }) => (
          <li key={id}>
            <button type="button" class="review-line" onClick={() => onChoose(text, [id])}>
              {text}
            </button>
          </li>
        ))}
      </ul>
      <SeatingMaps reply={reply} words={words} />
      {after.map((text) => (
        <p key={text} class="after">
          {text}
        </p>
      ))}
      <Buttons reply={reply} only={others} onChoose={onChoose} />
    </>
  );
}
