import { defineConfig } from 'vitest/config';

/** `npm run test:long`: hours of virtual time and many more random inputs than the suite takes. Serial: each is heavy. */
export default defineConfig({
  test: { include: ['test/long/*.long.ts'], testTimeout: 30 * 60_000, fileParallelism: false },
});
