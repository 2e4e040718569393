import { SEAT_KINDS as CASE_SEAT_KINDS, MODES_IN_USE, type ModeInUse, type SeatKind } from '#shared/case.ts';

/** What a caregiver's message is read into; the contract is the same for every channel and for the command line. */

export const LANGUAGES = ['en', 'es', 'zh-Hans', 'vi', 'ar', 'fr', 'ht', 'pt-BR', 'ru', 'ko', 'tl', 'so'] as const;
export type Language = (typeof LANGUAGES)[number];

export const ASKED_SLOTS = [
  'language',
  'age',
  'weight',
  'height',
  'mode',
  'seat-kind',
  'yes-no',
  'date',
  'vehicle',
  'place',
] as const;
export type AskedSlot = (typeof ASKED_SLOTS)[number];

export const MODES = MODES_IN_USE;
export type ReadMode = ModeInUse;

export type ReadSeatKind = Exclude<SeatKind, 'unknown'>;
export const SEAT_KINDS = CASE_SEAT_KINDS.filter((kind): kind is ReadSeatKind => kind !== 'unknown');

export const ANSWERS = ['yes', 'no', 'unsure'] as const;
export type Answer = (typeof ANSWERS)[number];

export const INTENTS = ['help', 'back', 'repeat', 'why', 'person', 'restart', 'delete', 'change', 'unsure'] as const;
export type Intent = (typeof INTENTS)[number];

export type UnitSystem = 'us' | 'metric';
export type Confidence = 'sure' | 'confirm' | 'none';
export type Range = readonly [min: number, max: number];

/** kg, cm and completed months, unrounded; dates as YYYY-MM or YYYY-MM-DD. */
export interface ReadValues {
  ageMonths?: Range;
  birthDate?: string;
  weightKg?: number | Range;
  heightCm?: number | Range;
  mode?: ReadMode;
  seatKind?: ReadSeatKind;
  answer?: Answer;
  date?: string;
  vehicleYear?: number;
  language?: Language;
  jurisdiction?: string;
}

export interface ReadContext {
  today?: string;
  ageMonths?: number | Range;
  units?: UnitSystem;
}

export interface ReadRequest {
  language: string;
  asked: AskedSlot | null;
  text: string;
  context?: ReadContext;
  /** Whoever the text speaks of is the child it is read for: a part of a message about several. */
  anyChild?: boolean;
}

export interface Reading {
  values: ReadValues;
  confidence: Confidence;
  intent?: Intent;
}
