import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { defineConfig } from 'vitest/config';
import fast from './vitest.config.ts';

/** The test files that try more cases when there is time. */
const sampling = readdirSync('test', { recursive: true, encoding: 'utf8' })
  .map((name) => join('test', name))
  .filter((file) => file.endsWith('.test.ts') && /from '[./]+\/sample\.ts'/.test(readFileSync(file, 'utf8')));

export default defineConfig({
  ...fast,
  test: { ...fast.test, include: sampling, env: { FETTLE_SAMPLES: 'all' }, testTimeout: 300_000 },
});
