import type { RenderedReply } from '#src/turns/rendered-reply.ts';
import type { Doing } from './caregiver-on-page.ts';

const DAYS_OLD = 270;
const birthDate = () => new Date(Date.now() - DAYS_OLD * 86_400_000).toISOString().slice(0, 10);

/**
 * A baby of nine months who rides rear-facing in front of an air bag that is on. Numbers, units and touches only, so
 * that it is told alike in every language.
 */
const ANSWERS: Readonly<Record<string, () => Doing>> = {
  consent: () => ({ choose: ['yes'] }),
  'child-count': () => ({ choose: ['1'] }),
  age: birthDate,
  weight: () => '8.5 kg',
  height: () => '70 cm',
  'riding-mode': () => ({ choose: ['rear-facing'] }),
  'seat-kind': () => ({ choose: ['rear-facing-only'] }),
  'label-limits': () => '2-16 kg, 81 cm',
  'seat-history': () => ({ choose: ['new', 'not-registered'] }),
  position: () => ({ choose: ['p1R'] }),
  'front-air-bag': () => ({ choose: ['active'] }),
  attachment: () => ({ choose: ['seat-belt'] }),
  'install-check': () => ({ choose: ['moves'] }),
  vehicle: () => '2016',
  confirm: () => ({ choose: ['yes'] }),
  review: () => ({ choose: ['yes'] }),
  slot: () => ({ choose: ['later'] }),
};

/** What this family does when asked; where it has nothing to say it does not know. */
export function familyAnswer({ asking, choices }: RenderedReply): Doing {
  const way = choices.find(({ id }) => id === 'unsure' || id === 'none')?.id ?? choices[0]?.id ?? '';
  return ANSWERS[String(asking)]?.() ?? { choose: [way] };
}
