import { defineConfig } from 'vitest/config';

// One file after the other: what is measured is time.
export default defineConfig({
  test: {
    include: ['test/sound/**/*.test.ts'],
    setupFiles: './test/own-home.ts',
    fileParallelism: false,
    testTimeout: 60_000,
    hookTimeout: 60_000,
  },
});
