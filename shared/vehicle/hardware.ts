import type { SourceId } from '#shared/parameters/sources.ts';

export type HardwareItem = 'lowerAnchors' | 'tetherAnchors' | 'lockableBelts' | 'rearCenterLapShoulderBelt';

/** What a model year lets one expect; never a fact about the vehicle at hand, which has to be looked at. */
export interface HardwareExpectation {
  /** `not-expected`: the standard did not ask for it yet; some vehicles have it, or can be fitted with it. */
  readonly expectation: 'expected' | 'check' | 'not-expected';
  readonly sources: readonly SourceId[];
}

interface Introduction {
  /** First model year of the phase-in, or in which late builds may have it. */
  readonly checkFrom: number;
  readonly expectedFrom: number;
  readonly sources: readonly SourceId[];
}

/** The standards run on the day of manufacture; model years are a reading of them (S-069, S-085). */
const INTRODUCED: Readonly<Record<HardwareItem, Introduction>> = {
  lowerAnchors: { checkFrom: 2000, expectedFrom: 2003, sources: ['S-053', 'S-069', 'S-050'] },
  tetherAnchors: { checkFrom: 2000, expectedFrom: 2001, sources: ['S-051', 'S-052', 'S-069', 'S-061', 'S-073'] },
  lockableBelts: { checkFrom: 1995, expectedFrom: 1996, sources: ['S-080', 'S-085'] },
  rearCenterLapShoulderBelt: { checkFrom: 2006, expectedFrom: 2008, sources: ['S-087', 'S-088'] },
};

/** What vehicles of a model year made for the US market should have. */
export const expectedHardware = (modelYear: number): Readonly<Record<HardwareItem, HardwareExpectation>> => {
  const expect = ({ checkFrom, expectedFrom, sources }: Introduction): HardwareExpectation => ({
    expectation: modelYear >= expectedFrom ? 'expected' : modelYear >= checkFrom ? 'check' : 'not-expected',
    sources,
  });
  return {
    lowerAnchors: expect(INTRODUCED.lowerAnchors),
    tetherAnchors: expect(INTRODUCED.tetherAnchors),
    lockableBelts: expect(INTRODUCED.lockableBelts),
    rearCenterLapShoulderBelt: expect(INTRODUCED.rearCenterLapShoulderBelt),
  };
};
