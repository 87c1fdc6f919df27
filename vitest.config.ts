import { defineConfig } from 'vitest/config';
import { HANGS_MS } from './test/hangs.ts';

export default defineConfig({
  test: {
    include: ['test/**/*.test.ts'],
    exclude: ['**/*.slow.test.ts', 'test/alsa/**', 'test/sound/**', 'test/bench/**', 'node_modules/**'],
    globalSetup: './test/built.ts',
    reporters: ['default', './test/closing-line.ts'],
    setupFiles: './test/own-home.ts',
    testTimeout: HANGS_MS,
    hookTimeout: HANGS_MS,
    // The sources keep no state in modules, so a worker loads them once for all the test files it runs.
    isolate: false,
    maxWorkers: '100%',
    // What TypeScript was made into is kept for the next run: by what stands in each file, not by when it was written.
    experimental: { fsModuleCache: true },
  },
});
