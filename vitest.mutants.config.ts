// The tests that `npm run mutants` runs for each mutant: those of the folders it names (tools/mutants.mjs).

import { defineConfig } from 'vitest/config';

const folders = (process.env.FETTLE_MUTANTS_TESTS ?? '').split(',').filter((folder) => folder !== '');

export default defineConfig({
  test: {
    include: folders.map((folder) => (folder.endsWith('.ts') ? folder : `${folder}/**/*.test.ts`)),
    exclude: ['**/*.slow.test.ts', 'node_modules/**'],
    setupFiles: './test/own-home.ts',
    testTimeout: 60_000,
  },
});
