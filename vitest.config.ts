import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    coverage: {
      provider: 'v8',
      include: ['src/**/*.ts'],
      exclude: ['src/**/*.test.ts'],
      reporter: ['text-summary', 'json-summary'],
    },
    projects: [
      {
        test: {
          name: 'core',
          include: ['src/**/*.test.ts', 'test/**/*.test.ts', 'examples/**/*.test.ts', 'firmware/**/*.test.ts'],
          exclude: ['test/page/**'],
          setupFiles: 'test/support/fixed-seed.ts',
        },
      },
      {
        // The built page in a real browser: one browser for all files, one file at a time, when the others are done.
        test: {
          name: 'page',
          include: ['test/page/**/*.test.ts'],
          globalSetup: 'test/page/support/global-setup.ts',
          fileParallelism: false,
          sequence: { groupOrder: 1 },
          testTimeout: 60_000,
          hookTimeout: 60_000,
        },
      },
    ],
  },
});
