// The program as JavaScript, for the tests that start it in a process of its own: starting from the TypeScript sources
// takes a second longer every time. Vitest calls `setup` once before a run; only files that changed are written again.
// Types are not checked here, `npm run types` does that. tsconfig.built.json says what is compiled.

import { execFileSync } from 'node:child_process';
import { existsSync, readdirSync, rmSync, symlinkSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join, resolve } from 'node:path';

const ROOT = resolve(import.meta.dirname, '..');
const BUILT = join(ROOT, '.built');

/** @param source from the project's root, as in `src/main.ts` */
export function built(source: string): string {
  return join(BUILT, source.replace(/\.ts$/, '.js'));
}

export function setup(): void {
  const compiler = join(createRequire(import.meta.url).resolve('typescript/package.json'), '../bin/tsc');
  execFileSync(process.execPath, [compiler, '-p', join(ROOT, 'tsconfig.built.json')], { stdio: 'inherit' });
  for (const name of readdirSync(join(BUILT, 'src'), { recursive: true, encoding: 'utf8' }))
    if (name.endsWith('.js') && !existsSync(join(ROOT, 'src', name.replace(/\.js$/, '.ts'))))
      rmSync(join(BUILT, 'src', name));
  if (!existsSync(join(BUILT, 'passages')))
    symlinkSync(join(ROOT, 'passages'), join(BUILT, 'passages'), 'junction');
}
