import fc from 'fast-check';
import { vi } from 'vitest';

// One seed, so that a red run is red again for whoever looks; `npm run test:search` sets another one for each run.
const seed = process.env.LAPWING_TEST_SEED;
fc.configureGlobal({ seed: seed ? Number(seed) : 20260516 });

// Signing in takes a third of a second by design; only password.test.ts looks at what it costs.
vi.mock('#src/desk/password-cost.ts', () => ({ PASSWORD_COST: { N: 2 ** 10, r: 8, p: 1 } }));
