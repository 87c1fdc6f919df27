import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['test/**/*.test.ts'],
    exclude: ['**/*.slow.test.ts', 'test/alsa/**', 'test/sound/**', 'test/bench/**', 'node_modules/**'],
    globalSetup: './test/built.ts',
    reporters: ['default', './test/closing-line.ts'],
    // Nobody's own settings and record.
    env: { FETTLE_HOME: join(tmpdir(), 'fettle-tests-home') },
    testTimeout: 60_000,
    hookTimeout: 60_000,
    // The sources keep no state in modules, so a worker loads them once for all the test files it runs.
    isolate: false,
    maxWorkers: '100%',
  },
});
