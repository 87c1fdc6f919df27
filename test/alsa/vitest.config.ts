import { defineConfig } from 'vitest/config';

// One file after the other: they share the sequencer. Emulation is slow: times out late.
export default defineConfig({
  test: {
    include: ['test/alsa/**/*.test.ts'],
    fileParallelism: false,
    // Figures are printed as they are measured, not when a test of ten minutes ends.
    disableConsoleIntercept: true,
    testTimeout: 120_000,
    hookTimeout: 120_000,
  },
});
