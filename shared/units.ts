/** Exact conversions by the 1959 international yard and pound agreement (S-260 to S-264). Nothing here rounds. */
export const KG_PER_LB = 0.45359237;
export const CM_PER_IN = 2.54;
export const LB_PER_STONE = 14;
export const OZ_PER_LB = 16;
export const IN_PER_FT = 12;

/** Comparisons treat values this close as equal, so that a converted limit equals its own conversion (rules.md, Parameters). */
export const TOLERANCE = 1e-6;

export const lbToKg = (lb: number): number => lb * KG_PER_LB;
export const kgToLb = (kg: number): number => kg / KG_PER_LB;
export const inToCm = (inches: number): number => inches * CM_PER_IN;
export const cmToIn = (cm: number): number => cm / CM_PER_IN;
