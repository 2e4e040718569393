import type { JSX } from 'preact';
import type { RenderedReply } from '#src/turns/rendered-reply.ts';
import { textDirection } from '../direction.ts';
import type { PageWords } from '../page-words.ts';

const SIDES = ['L', 'C', 'R'] as const;

type Seating = NonNullable<RenderedReply['seating']>;
type Seated = Seating['today'];

interface CarProps {
  readonly title: string;
  readonly rows: readonly number[];
  readonly seated: Seated;
  /** Where each sat before; who sits elsewhere now is marked. */
  readonly before: Seated;
  readonly language: string;
  readonly words: PageWords;
}

function Car({ title, rows, seated, before, language, words }: CarProps): JSX.Element {
  const direction = textDirection(language);
  const place = (id: string) => {
    const here = seated.find((one) => one.place === id);
    const moved = here && !before.some(({ place, who }) => place === id && who === here.who);
    if (here)
      return (
        <span key={id} class={moved ? 'seat held moved' : 'seat held'} dir={direction}>
          <bdi>{here.who}</bdi>
        </span>
      );
    return (
      <span key={id} class={id === 'p1C' ? 'gap' : 'seat taken'} dir={direction}>
        {id === 'p1L' && words.driver}
      </span>
    );
  };
  return (
    <figure class="seating">
      <figcaption dir={direction}>{title}</figcaption>
      <div class="car" dir="ltr">
        <p class="front" dir={direction}>
          {words.front}
        </p>
        {rows.map((row) => (
          <div key={row} class="row">
            {SIDES.map((side) => place(`p${row}${side}`))}
          </div>
        ))}
      </div>
    </figure>
  );
}

/** Who sits where now and in one other way, as cars from above. The words beside it say the same, so ears need no more. */
export function SeatingMaps({ reply, words }: { reply: RenderedReply; words: PageWords }): JSX.Element | null {
  const { seating, language } = reply;
  if (!seating) return null;
  const deepest = Math.max(...[...seating.today, ...seating.proposed].map(({ place }) => Number(place[1])));
  const rows = [1, 2, 3].filter((row) => row <= deepest);
  const shared = { rows, language, words, before: seating.today };
  return (
    <div class="seatings" aria-hidden="true">
      <Car title={words.seatsNow} seated={seating.today} {...shared} />
      <Car title={words.seatsOther} seated={seating.proposed} {...shared} />
    </div>
  );
}
