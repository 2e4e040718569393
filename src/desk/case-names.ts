import type { Case } from '#shared/case.ts';
import type { Voice } from './voice.ts';

/** What the parts of a case are called at the desk: by the caregiver's words, else by their number. */
export interface CaseNames {
  child(id: string): string;
  seat(id: string): string;
  /** The number alone, where the caregiver's words stand nearby. */
  seatNumber(id: string): string;
  position(id: string): string;
}

const MAX_LENGTH = 60;
const short = (text: string): string => (text.length > MAX_LENGTH ? `${text.slice(0, MAX_LENGTH - 1)}…` : text);

export function caseNames(facts: Case, voice: Voice): CaseNames {
  const numbered = (key: 'case.child' | 'seat.heading', list: readonly { id: string }[], id: string) => {
    const index = list.findIndex((part) => part.id === id);
    return index < 0 ? id : voice.say(key, { number: index + 1 });
  };
  const seatNumber = (id: string) => numbered('seat.heading', facts.seats, id);
  return {
    child: (id) => {
      const name = facts.children.find((child) => child.id === id)?.name?.trim();
      return name ? short(name) : numbered('case.child', facts.children, id);
    },
    seat: (id) => {
      const description = facts.seats.find((seat) => seat.id === id)?.description?.trim();
      return description ? `${seatNumber(id)} “${short(description)}”` : seatNumber(id);
    },
    seatNumber,
    position: (id) => {
      const position = facts.vehicle?.positions?.find((one) => one.id === id);
      if (position?.row == null) return voice.say('vehicle.unplaced');
      if (position.side == null) return voice.say('vehicle.rowOnly', { row: position.row });
      return voice.say('vehicle.place', { row: position.row, side: voice.name('side', position.side) });
    },
  };
}
