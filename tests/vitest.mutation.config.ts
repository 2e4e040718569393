import { defineConfig } from 'vitest/config';

/** The tests that hold the rules to their words, for mutation testing of shared/rules alone. */
export default defineConfig({
  root: new URL('..', import.meta.url).pathname,
  test: { include: ['tests/shared/{rules,golden}/**/*.test.ts'] },
});
