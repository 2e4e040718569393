import type { ChildPart } from './understanding/by-child.ts';
import type { AskedSlot, Language, Reading, ReadRequest, UnitSystem } from './understanding/types.ts';

/** Limits printed for one mode, as read from words: kg and cm, unrounded. */
export interface LabelLimits {
  readonly minWeightKg?: number;
  readonly maxWeightKg?: number;
  readonly minHeightCm?: number;
  readonly maxHeightCm?: number;
  readonly minAgeMonths?: number;
  /** The words say that no such limit is printed. */
  readonly noLimit?: boolean;
}

/** Dates printed on a seat, as read from words. */
export interface SeatDates {
  readonly manufactureDate?: string;
  readonly expiryDate?: string;
  readonly usefulLifeYears?: number;
  readonly mustConfirm: boolean;
}

/** All the ways in which the conversation listens to free words; built over the lexicons outside this layer. */
export interface Ears {
  readonly read: (request: ReadRequest) => Reading;
  readonly recogniseLanguage: (text: string) => Language | null;
  readonly limits: (text: string, language: Language, units: UnitSystem) => LabelLimits | null;
  readonly dates: (text: string, language: Language, today: string) => SeatDates | null;
  /** How many children are said, or null. */
  readonly count: (text: string, language: Language) => number | null;
  /** How many children a word that is no number tells of, "twins", or null. */
  readonly atOnce: (text: string, language: Language) => number | null;
  /** Ids of the things of a group that the words name, negations respected. */
  readonly keywords: (text: string, language: Language, group: string) => readonly string[];
  /** Ids of the things of a group that the words deny: "no coat". */
  readonly denied: (text: string, language: Language, group: string) => readonly string[];
  /** What a message says of each of several children whose names are known, or null. */
  readonly byName: (text: string, language: Language, names: readonly string[]) => readonly ChildPart[] | null;
  /** What a message says of each of several children of whom only the ages are told, or null. */
  readonly byAge: (
    text: string,
    language: Language,
    today: string,
    asked: AskedSlot | null,
  ) => readonly string[] | null;
  /** What the child is called of whom a text speaks, or null where that is not plain. */
  readonly nameIn: (text: string, language: Language) => string | null;
  /** Whether a text is one of the ways to agree to something, and nothing more. */
  readonly agrees: (text: string, language: Language, to: 'consent' | 'send') => boolean;
  /** Whether a text says of a whole list that nothing of it is so, and nothing more. */
  readonly deniesAll: (text: string, language: Language) => boolean;
  /** A crash just now, an injured child, a child not breathing; heard in every language. */
  readonly emergency: (text: string) => boolean;
}
