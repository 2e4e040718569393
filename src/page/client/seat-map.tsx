import type { JSX } from 'preact';
import { textDirection } from '../direction.ts';
import { Buttons, type ChoicesProps } from './choices.tsx';

const ROWS = [1, 2, 3] as const;
const SIDES = ['L', 'C', 'R'] as const;
const SEAT = /^p[1-3][LCR]$/;

/**
 * The car from above with its front on top; the seats that can be answered are the answers themselves.
 * A car has its left on the left in every language, so the plan is never mirrored.
 */
export function SeatMap(props: ChoicesProps): JSX.Element {
  const { reply, words, onChoose } = props;
  const seats = new Map(reply.choices.filter(({ id }) => SEAT.test(id)).map((choice) => [choice.id, choice]));
  const others = new Set(reply.choices.filter(({ id }) => !SEAT.test(id)).map(({ id }) => id));
  const direction = textDirection(reply.language);

  const place = (row: number, side: string) => {
    const id = `p${row}${side}`;
    const seat = seats.get(id);
    if (seat)
      return (
        <button key={id} type="button" class="seat" dir={direction} onClick={() => onChoose(seat.text, [id])}>
          {seat.text}
        </button>
      );
    if (id === 'p1L')
      return (
        <span key={id} class="seat taken" dir={direction}>
          {words.driver}
        </span>
      );
    return <span key={id} class={row === 1 ? 'gap' : 'seat taken'} aria-hidden="true" />;
  };

  return (
    <>
      <fieldset class="car" dir="ltr">
        <legend class="unseen">{words.seatMap}</legend>
        <p class="front" dir={direction}>
          {words.front}
        </p>
        {ROWS.map((row) => (
          <div key={row} class="row">
            {SIDES.map((side) => place(row, side))}
          </div>
        ))}
      </fieldset>
      <Buttons reply={reply} only={others} onChoose={onChoose} />
    </>
  );
}
