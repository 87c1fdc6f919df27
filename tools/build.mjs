// Compiles src/ into dist/ with the TypeScript compiler. Run by `npm run build` and, through `prepare`, by `npm ci`.
// An installation without the development packages (a consumer of a packed tarball) has dist/ already: nothing to do.
import { spawnSync } from 'node:child_process';
import { existsSync, rmSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('..', import.meta.url));
let compiler;
try {
  compiler = join(createRequire(import.meta.url).resolve('typescript/package.json'), '../bin/tsc');
} catch {
  if (existsSync(new URL('../dist/main.js', import.meta.url))) process.exit(0);
  console.error('Cannot build: the development packages are missing. Run npm ci without --omit=dev.');
  process.exit(1);
}
rmSync(new URL('../dist', import.meta.url), { recursive: true, force: true });
const { status } = spawnSync(process.execPath, [compiler, '-p', 'tsconfig.build.json'], {
  cwd: root,
  stdio: 'inherit',
});
process.exit(status ?? 1);
