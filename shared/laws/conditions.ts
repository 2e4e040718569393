import { inToCm, lbToKg, TOLERANCE } from '#shared/units.ts';
import type { TestName, Tests } from './law-table.ts';

export type Measure = 'age' | 'weight' | 'height';

/** One completion of a child's facts: completed months, kg, cm. */
export type ExactChild = Readonly<Record<Measure, number>>;

interface Test {
  readonly measure: Measure;
  readonly compare: 'under' | 'at-least' | 'over' | 'at-most';
  /** Months, kg or cm. */
  readonly threshold: number;
}

/** The tests of one `applies` or `unless`, in kg and cm. */
export interface Condition {
  readonly any: boolean;
  readonly tests: readonly Test[];
}

const months = (value: number) => value;
const metric = (value: number) => value;

const READING: Readonly<Record<TestName, [Measure, Test['compare'], (value: number) => number]>> = {
  ageUnderMonths: ['age', 'under', months],
  ageAtLeastMonths: ['age', 'at-least', months],
  weightUnderLb: ['weight', 'under', lbToKg],
  weightAtLeastLb: ['weight', 'at-least', lbToKg],
  weightOverLb: ['weight', 'over', lbToKg],
  weightAtMostLb: ['weight', 'at-most', lbToKg],
  weightUnderKg: ['weight', 'under', metric],
  heightUnderIn: ['height', 'under', inToCm],
  heightAtLeastIn: ['height', 'at-least', inToCm],
  heightOverIn: ['height', 'over', inToCm],
  heightAtMostIn: ['height', 'at-most', inToCm],
  heightUnderCm: ['height', 'under', metric],
};

/** Reads the tests of a law table into kg, cm and months, converted exactly. */
export const compileCondition = ({ logic, ...tests }: Tests): Condition => ({
  any: logic === 'any',
  tests: Object.entries(tests).map(([name, value]) => {
    const [measure, compare, convert] = READING[name as TestName];
    return { measure, compare, threshold: convert(value) };
  }),
});

const passes = ({ measure, compare, threshold }: Test, child: ExactChild): boolean => {
  const value = child[measure];
  switch (compare) {
    case 'under':
      return value < threshold - TOLERANCE;
    case 'at-least':
      return value >= threshold - TOLERANCE;
    case 'over':
      return value > threshold + TOLERANCE;
    case 'at-most':
      return value <= threshold + TOLERANCE;
  }
};

/** Whether a condition holds for a child of exactly known age, weight and height. */
export const holds = (condition: Condition, child: ExactChild): boolean =>
  condition.any ? condition.tests.some((t) => passes(t, child)) : condition.tests.every((t) => passes(t, child));
