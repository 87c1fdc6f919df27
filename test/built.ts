// The program as JavaScript, bundled as it is shipped (tools/build.mjs), for the tests that start it in a process of its
// own: starting from the TypeScript sources takes a second longer every time. Vitest calls `setup` once before a run;
// nothing is done where no source has changed since.

import { spawnSync } from 'node:child_process';
import { readdirSync, statSync } from 'node:fs';
import { basename, join, resolve } from 'node:path';

const ROOT = resolve(import.meta.dirname, '..');
const BUILT = join(ROOT, '.built');
/** The programs that tests start besides the program itself. */
const PROGRAMS = [
  'test/devices/append-forever.ts',
  'test/devices/leave-click.ts',
  'test/devices/leave-screen.ts',
  'test/devices/print-natively.ts',
  'test/devices/take-away-rights.ts',
];

/** @param source from the project's root, as in `src/main.ts` */
export function built(source: string): string {
  return join(BUILT, basename(source).replace(/\.ts$/, '.js'));
}

export function setup(): void {
  const sources = [...typescriptIn('src'), ...PROGRAMS, 'test/record/made-entry.ts', 'tools/build.mjs'];
  const latest = Math.max(...sources.map((source) => changedAt(join(ROOT, source))));
  // What is written last.
  if (changedAt(join(BUILT, 'LICENCES.txt')) > latest) return;
  const { status, stderr } = spawnSync(
    process.execPath,
    [join(ROOT, 'tools/build.mjs'), BUILT, ...PROGRAMS],
    { encoding: 'utf8' },
  );
  if (status !== 0) throw new Error(`the program cannot be built: ${stderr}`);
}

function typescriptIn(folder: string): string[] {
  return readdirSync(join(ROOT, folder), { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.ts') && !name.endsWith('.d.ts'))
    .map((name) => join(folder, name));
}

function changedAt(file: string): number {
  return statSync(file, { throwIfNoEntry: false })?.mtimeMs ?? 0;
}
