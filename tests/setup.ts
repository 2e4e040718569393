import fc from 'fast-check';

// One seed, so that a red run is red again for whoever looks; `npm run test:search` sets another one for each run.
const seed = process.env.LAPWING_TEST_SEED;
fc.configureGlobal({ seed: seed ? Number(seed) : 20260516 });
