// Mutation testing: `npm run mutants -- src/coaching/gate.ts src/take` changes these sources bit by bit and tells which
// changes no test notices. The tests are those in the folders of the same name (test/coaching, test/take), or of such a
// folder only what is named beside the sources, where something of it is; other test folders or files named come on top.
// What a run found is kept in .mutants for the next one. Options of the library can follow, such as --concurrency=1.
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('..', import.meta.url));
const options = process.argv.slice(2).filter((word) => word.startsWith('--'));
const named = process.argv
  .slice(2)
  .filter((word) => !word.startsWith('--'))
  .map((path) => path.replace(/\/+$/, ''));
const sources = named.filter((path) => /^src\//.test(path));
const tests = named.filter((path) => /^test\//.test(path));
if (sources.length === 0 || sources.length + tests.length < named.length) {
  console.error(
    'usage: npm run mutants -- SRC_FILE_OR_FOLDER... [TEST_FILE_OR_FOLDER...], such as src/coaching/gate.ts',
  );
  process.exit(2);
}
const ownTests = sources
  .map((path) => `test/${path.split('/')[1]}`)
  .filter((folder) => !tests.some((path) => path.startsWith(`${folder}/`)));
const mutate = sources.map((path) => (/\.ts(:[\d:-]+)?$/.test(path) ? path : `${path}/**/*.ts`));
const key = createHash('sha256').update(mutate.join(',')).digest('hex').slice(0, 8);
const stryker = join(
  createRequire(import.meta.url).resolve('@stryker-mutator/core/package.json'),
  '../bin/stryker.js',
);
const { status } = spawnSync(
  process.execPath,
  [stryker, 'run', '--mutate', mutate.join(','), '--incrementalFile', `.mutants/${key}.json`, ...options],
  {
    cwd: root,
    stdio: 'inherit',
    env: { ...process.env, FETTLE_MUTANTS_TESTS: [...new Set([...ownTests, ...tests])].join(',') },
  },
);
process.exit(status ?? 1);
