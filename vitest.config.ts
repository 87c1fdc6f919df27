import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['test/**/*.test.ts'],
    exclude: ['test/alsa/**', 'test/sound/**', 'test/bench/**', 'node_modules/**'],
    reporters: ['default', './test/closing-line.ts'],
    testTimeout: 60_000,
    hookTimeout: 60_000,
  },
});
