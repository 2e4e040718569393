import { availableParallelism } from 'node:os';
import { defineConfig } from 'vitest/config';

const root = new URL('..', import.meta.url).pathname;
const report = process.env.VITEST_JSON_REPORT;

export default defineConfig({
  root,
  test: {
    testTimeout: 30_000,
    hookTimeout: 60_000,
    setupFiles: ['tests/setup.ts'],
    // One more than vitest takes by itself: on two cores the tests run two at a time.
    maxWorkers: availableParallelism(),
    ...(report && {
      reporters: ['default', 'json'],
      outputFile: { json: report },
    }),
    projects: [
      {
        extends: true,
        test: {
          name: 'unit',
          include: ['tests/{shared,dialogs,src,layout,families,published-tables}/**/*.test.ts'],
        },
      },
      {
        extends: true,
        test: {
          name: 'conversation',
          include: ['tests/conversations/**/*.test.ts'],
        },
      },
      {
        extends: true,
        test: {
          name: 'store',
          include: ['tests/{store,faults}/**/*.test.ts'],
          globalSetup: ['tests/store/postgres-server.ts'],
        },
      },
      {
        extends: true,
        test: {
          name: 'browser',
          include: ['tests/browser/**/*.test.ts'],
          fileParallelism: false,
          sequence: { groupOrder: 1 },
        },
      },
    ],
  },
});
