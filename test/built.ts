// The program as JavaScript, for the tests that start it in a process of its own: starting from the TypeScript sources
// takes a second longer every time. Vitest calls `setup` once before a run; only files that changed are compiled again.
// Types are not checked here, `npm run types` does that.

import {
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { dirname, join, resolve } from 'node:path';

const ROOT = resolve(import.meta.dirname, '..');
const BUILT = join(ROOT, '.built');
/** Of the tests only the programs that tests start are compiled; they may import sources and nothing of the tests but what stands here. */
const PROGRAMS = [
  'test/devices/append-forever.ts',
  'test/devices/leave-click.ts',
  'test/devices/leave-screen.ts',
  'test/devices/print-natively.ts',
  'test/devices/take-away-rights.ts',
  'test/record/made-entry.ts',
];

/** @param source from the project's root, as in `src/main.ts` */
export function built(source: string): string {
  return join(BUILT, source.replace(/\.ts$/, '.js'));
}

export async function setup(): Promise<void> {
  const sources = [...typescriptIn('src'), ...PROGRAMS];
  const wanted = new Set(sources.map(built));
  const changed = sources.filter((source) => changedAt(built(source)) < changedAt(join(ROOT, source)));
  if (changed.length > 0) {
    const { default: ts } = await import('typescript');
    const { config } = ts.readConfigFile(join(ROOT, 'tsconfig.json'), ts.sys.readFile);
    const { options } = ts.convertCompilerOptionsFromJson(config.compilerOptions, ROOT);
    // One file by itself does not show that the package is of modules.
    const compilerOptions = { ...options, module: ts.ModuleKind.ESNext, noEmit: false };
    for (const fileName of changed) {
      const text = readFileSync(join(ROOT, fileName), 'utf8');
      const { outputText } = ts.transpileModule(text, { fileName, compilerOptions });
      mkdirSync(dirname(built(fileName)), { recursive: true });
      writeFileSync(built(fileName), outputText);
    }
  }
  for (const name of readdirSync(join(BUILT, 'src'), { recursive: true, encoding: 'utf8' })) {
    const file = join(BUILT, 'src', name);
    if (name.endsWith('.js') && !wanted.has(file)) rmSync(file);
  }
  if (!existsSync(join(BUILT, 'passages')))
    symlinkSync(join(ROOT, 'passages'), join(BUILT, 'passages'), 'junction');
}

function typescriptIn(folder: string): string[] {
  return readdirSync(join(ROOT, folder), { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.ts') && !name.endsWith('.d.ts'))
    .map((name) => join(folder, name));
}

function changedAt(file: string): number {
  return statSync(file, { throwIfNoEntry: false })?.mtimeMs ?? 0;
}
