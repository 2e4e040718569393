import type { Case } from '#shared/case.ts';

/** A manual that may be wanted at the visit; families are asked to bring their own, and nothing says how many do. */
export interface Manual {
  readonly of: 'seat' | 'vehicle';
  /** Model number or description as the family gave it. */
  readonly name: string;
  /** Of the vehicle; null for seats and where unknown. */
  readonly modelYear: number | null;
  /** A second-hand seat, or one without its label. */
  readonly likelyMissing: boolean;
}

const named = (...texts: readonly (string | null | undefined)[]): string | null =>
  texts.map((text) => text?.trim().replace(/\s+/gu, ' ')).find((text) => text) ?? null;

/** The manuals of a family's seats and vehicle, where it named them. */
export function manualsFor({ seats, vehicle }: Case): readonly Manual[] {
  const ofSeats = seats.flatMap(({ modelNumber, description, acquired, labelReadable }): Manual[] => {
    const name = named(modelNumber, description);
    if (name === null) return [];
    const secondHand = acquired === 'known-second-hand' || acquired === 'unknown-second-hand';
    return [{ of: 'seat', name, modelYear: null, likelyMissing: secondHand || labelReadable === false }];
  });
  const vehicleName = named(vehicle?.description);
  return vehicleName === null
    ? ofSeats
    : [...ofSeats, { of: 'vehicle', name: vehicleName, modelYear: vehicle?.modelYear ?? null, likelyMissing: false }];
}
