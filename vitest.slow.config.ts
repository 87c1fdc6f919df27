import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { defineConfig } from 'vitest/config';
import { HANGS_MS } from './test/hangs.ts';
import fast from './vitest.config.ts';

const testFiles = readdirSync('test', { recursive: true, encoding: 'utf8' })
  .filter((name) => name.endsWith('.test.ts'))
  .map((name) => join('test', name));

/** Files that are slow as a whole, and those that try more cases when there is time. */
const slow = testFiles.filter(
  (file) => file.endsWith('.slow.test.ts') || /from '[./]+\/sample\.ts'/.test(readFileSync(file, 'utf8')),
);

export default defineConfig({
  ...fast,
  test: {
    ...fast.test,
    include: slow,
    exclude: ['node_modules/**'],
    testTimeout: 4 * HANGS_MS,
    hookTimeout: 4 * HANGS_MS,
    env: { FETTLE_SAMPLES: 'all' },
  },
});
