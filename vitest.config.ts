import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['test/**/*.test.ts'],
    exclude: ['**/*.slow.test.ts', 'test/alsa/**', 'test/sound/**', 'test/bench/**', 'node_modules/**'],
    globalSetup: './test/built.ts',
    reporters: ['default', './test/closing-line.ts'],
    setupFiles: './test/own-home.ts',
    // Only what hangs takes so long, however busy the machine is.
    testTimeout: 300_000,
    hookTimeout: 300_000,
    // The sources keep no state in modules, so a worker loads them once for all the test files it runs.
    isolate: false,
    maxWorkers: '100%',
  },
});
