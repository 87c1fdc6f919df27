// Bundles the program and its workers: `node tools/build.mjs [FOLDER [MORE_PROGRAMS...]]`, into dist/ where no folder is
// named. Run by `npm run build`, through `prepare` by `npm ci`, and by the tests for programs of their own. A few files
// instead of five hundred, each of which Node would look for and read by itself: `fettle today` starts in half the time.
// Types are not checked here, `npm run types` does that.
// An installation without the development packages (a consumer of a packed tarball) has dist/ already: nothing to do.
import { existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('..', import.meta.url));
const [named = join(root, 'dist'), ...more] = process.argv.slice(2);
const folder = resolve(named);

let esbuild;
try {
  esbuild = await import('esbuild');
} catch {
  if (existsSync(join(root, 'dist/main.js'))) process.exit(0);
  console.error('Cannot build: the development packages are missing. Run npm ci without --omit=dev.');
  process.exit(1);
}

const { optionalDependencies } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));
// What is found at run time: packages with binaries or files of their own, and those that may be missing.
const external = ['@julusian/midi', 'blessed', 'libsql', ...Object.keys(optionalDependencies)];
// A worker is started by its file's name (src/devices/worker-entry.ts).
const workers = readdirSync(join(root, 'src'), { recursive: true, encoding: 'utf8' })
  .filter((file) => file.endsWith('-worker.ts'))
  .map((file) => join('src', file));

const { metafile } = await esbuild.build({
  absWorkingDir: root,
  entryPoints: ['src/main.ts', ...workers, ...more],
  outdir: folder,
  // All in one folder, one below the project's as src/ is: the bundled music is found from both.
  entryNames: '[name]',
  chunkNames: 'part-[hash]',
  bundle: true,
  splitting: true,
  format: 'esm',
  platform: 'node',
  target: 'node20',
  // Every command starts a good twentieth sooner. Names stay, for what a fault prints.
  minifyWhitespace: true,
  minifySyntax: true,
  external,
  // Packages in the older form ask for Node's own modules by a function that these files do not have.
  banner: {
    js: "import { createRequire as requireFrom } from 'node:module'; const require = requireFrom(import.meta.url);",
  },
  logLevel: 'warning',
  metafile: true,
});
// Only now, and only what is left over: a program that runs meanwhile loads parts of it later.
const made = new Set(Object.keys(metafile.outputs).map((file) => resolve(root, file)));
for (const name of readdirSync(folder)) {
  const path = join(folder, name);
  if (!made.has(path)) rmSync(path, { recursive: true });
}
writeFileSync(join(folder, 'LICENCES.txt'), licencesOf(Object.keys(metafile.inputs)));

/** Every package that is in the bundle, with its licence, as these licences ask. */
function licencesOf(files) {
  const packages = new Set(
    files.flatMap((file) => /^node_modules\/(?:@[^/]+\/)?[^/]+/.exec(file)?.[0] ?? []),
  );
  const told = [...packages].sort().map((path) => {
    const { name, version, license } = JSON.parse(readFileSync(join(root, path, 'package.json'), 'utf8'));
    const texts = readdirSync(join(root, path)).filter((file) => /^licen[cs]e/i.test(file));
    const whole = texts.map((file) => readFileSync(join(root, path, file), 'utf8').trim());
    return [`${name} ${version} (${license})`, ...whole].join('\n\n');
  });
  return `Packages that are part of these files, and their licences.\n\n${told.join('\n\n---\n\n')}\n`;
}
