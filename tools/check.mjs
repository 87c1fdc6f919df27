// `npm test`: types and lint beside the tests, for none of them needs another. What types or lint have to say is printed
// as soon as they fail, and ends the tests; else the tests' closing line comes last.
import { spawn } from 'node:child_process';

/** A program of node_modules/.bin, where npm has put it on the path. */
function start(program, args, stdio) {
  const child = spawn(program, args, { stdio, shell: process.platform === 'win32' });
  const said = [];
  for (const stream of [child.stdout, child.stderr]) stream?.on('data', (text) => said.push(text));
  const status = new Promise((done) => {
    child.on('error', () => done(127));
    child.on('close', (code) => done(code ?? 1));
  });
  return { child, status, said };
}

const CHECKS = [
  ['tsc', '--noEmit'],
  ['biome', 'check', '.'],
  ['knip', '--no-progress'],
];

const tests = start('vitest', ['run', ...process.argv.slice(2)], 'inherit');
let failed = 0;
const checks = (async () => {
  for (const [program, ...args] of CHECKS) {
    const { status, said } = start(program, args, ['ignore', 'pipe', 'pipe']);
    failed = await status;
    if (failed === 0) continue;
    tests.child.kill();
    await tests.status;
    process.stderr.write(Buffer.concat(said));
    return;
  }
})();
const tested = await tests.status;
await checks;
process.exit(failed || tested);
