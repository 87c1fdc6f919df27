// Holds the import table and the banned calls of DEVELOPERS.md ("Invariants"). Reads the import lines of every file.

import { readdirSync, readFileSync } from 'node:fs';
import { basename, dirname, join, relative, resolve, sep } from 'node:path';
import { describe, expect, it } from 'vitest';

const SRC = resolve(import.meta.dirname, '../src');
const TEST = import.meta.dirname;

/** Everything that stands below what is said and drawn, but for sessions. */
const BESIDE_SESSIONS = [
  'music',
  'notation',
  'drills',
  'matching',
  'take',
  'fingering',
  'coaching',
  'record',
  'lesson',
  'section',
];

/** Which folders of src a folder may import. `*` = all. Its own is always allowed. */
const MAY_IMPORT: Record<string, readonly string[]> = {
  ground: [],
  music: [],
  notation: ['music'],
  drills: ['music'],
  matching: ['music'],
  take: ['music', 'drills', 'matching'],
  record: ['music', 'drills', 'matching', 'take'],
  fingering: ['music'],
  coaching: ['music', 'drills', 'matching', 'take', 'fingering', 'record'],
  session: ['music', 'drills', 'matching', 'take', 'fingering', 'coaching', 'record', 'section'],
  lesson: ['music', 'notation', 'drills', 'matching', 'take', 'coaching', 'record'],
  section: ['music', 'drills', 'matching', 'take', 'record'],
  wording: BESIDE_SESSIONS,
  screen: [...BESIDE_SESSIONS, 'session', 'wording'],
  report: [...BESIDE_SESSIONS, 'session', 'wording'],
  sheet: [...BESIDE_SESSIONS, 'session', 'wording'],
  ports: [],
  devices: ['ports', 'music', 'record'],
  simulation: ['ports', 'music', 'record'],
  commands: ['*'],
  'run-session': ['*'],
  main: ['*'],
};

/** Types may be imported where values may not: they leave no trace at run time. */
const MAY_IMPORT_TYPES: Record<string, readonly string[]> = {
  ports: ['music', 'drills', 'matching', 'take', 'record'],
  session: ['ports'],
  wording: ['session'],
  screen: ['ports'],
  sheet: ['ports'],
  devices: ['sheet', 'drills', 'matching', 'take'],
  simulation: ['drills', 'matching', 'take'],
};

/** Rooms of notation, and which other rooms each may import; files outside of the rooms may be imported by all. */
const ROOMS: Record<string, readonly string[]> = {
  abc: ['draft', 'written', 'choice'],
  musicxml: ['draft', 'written', 'choice'],
  'midi-file': ['draft', 'choice', 'transcription'],
  transcription: ['draft'],
  draft: [],
  written: [],
  choice: [],
};

/** Folders whose result depends on their arguments alone. */
const PURE = [
  'ground',
  'music',
  'notation',
  'drills',
  'matching',
  'take',
  'fingering',
  'coaching',
  'lesson',
  'session',
  'section',
  'record',
  'wording',
  'screen',
  'report',
  'sheet',
];

const BANNED: readonly [phrase: string, useInstead: string][] = [
  ['Date.now', 'an `at` from the event'],
  ['new Date()', 'the clock port, at the edge'],
  ['performance.now', 'an `at` from the event'],
  ['setTimeout', 'nextWakeUp'],
  ['setInterval', 'nextWakeUp'],
  ['Math.random', 'a seed'],
  ['randomUUID', 'a name given at the edge'],
  ['randomBytes', 'a seed'],
  ['process.', 'a parameter'],
  ['console.', 'an effect or a returned value'],
];

/** Packages that only the outside may know. */
const IO_PACKAGES = ['@julusian/midi', 'blessed', 'libsql', 'node-web-audio-api', 'commander', 'env-paths'];

/** Circles that stand until their folder is put in order. This list only gets shorter: take out what is broken up. */
const KNOWN_CIRCLES: readonly string[] = [];

/** Used for hashes, which are functions of their arguments; chance is banned below. */
const PURE_BUILT_IN = 'node:crypto';

interface Import {
  readonly from: string;
  readonly typeOnly: boolean;
}

function typescriptIn(folder: string): string[] {
  return readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.ts'))
    .map((name) => join(folder, name));
}

function filesInComments(text: string): string[] {
  const comments = text.match(/(?:\/\/|^\s*\/?\*)[^\n]*/gm) ?? [];
  return comments.flatMap((line) => line.match(/\b[a-z][\w-]*(?:\.test)?\.ts\b/g) ?? []);
}

/** What every folder may import, and what imports nothing: the world's troubles, statistics, calendar time, safe text,
 * what was worked out already, where the bundled music is. */
const GROUND = [
  'local-date.ts',
  'passages-folder.ts',
  'printable.ts',
  'problem.ts',
  'remembered.ts',
  'statistics.ts',
];

/** Other files directly in src (main, run-session and their like) are wiring. */
function folderOf(file: string): string {
  const parts = relative(SRC, file).split(sep);
  if (GROUND.includes(parts[0]!)) return 'ground';
  if (parts[0] === 'run-session.ts') return 'run-session';
  return parts.length === 1 ? 'main' : parts[0]!;
}

function importsOf(text: string): Import[] {
  const found: Import[] = [];
  for (const m of text.matchAll(/^\s*(?:import|export)\s+(type\s+)?[^'";]*?from\s+'([^']+)'/gm)) {
    found.push({ from: m[2]!, typeOnly: m[1] !== undefined });
  }
  for (const m of text.matchAll(/^\s*import\s+'([^']+)'/gm)) found.push({ from: m[1]!, typeOnly: false });
  for (const m of text.matchAll(/\bimport\(\s*'([^']+)'\s*\)/g)) found.push({ from: m[1]!, typeOnly: false });
  return found;
}

function importTrouble(file: string, text: string): string[] {
  const folder = folderOf(file);
  const allowed = MAY_IMPORT[folder];
  if (!allowed) return [`${relative(SRC, file)}: the folder ${folder} is not in the import table`];
  const troubles: string[] = [];
  for (const { from, typeOnly } of importsOf(text)) {
    if (from.startsWith('.')) {
      const target = folderOf(resolve(dirname(file), from));
      const all = typeOnly ? [...allowed, ...(MAY_IMPORT_TYPES[folder] ?? [])] : allowed;
      if (target === folder || target === 'ground' || all.includes('*') || all.includes(target)) continue;
      troubles.push(
        `src/${relative(SRC, file)} imports src/${target}: ${folder} may import ${all.join(', ') || 'nothing'} (DEVELOPERS.md, Invariants)`,
      );
    } else if (PURE.includes(folder)) {
      if (from === PURE_BUILT_IN) continue;
      if (from.startsWith('node:') || IO_PACKAGES.some((p) => from === p || from.startsWith(`${p}/`))) {
        troubles.push(
          `src/${relative(SRC, file)} imports ${from}: ${folder} does no I/O (DEVELOPERS.md, Invariants)`,
        );
      }
    }
  }
  return troubles;
}

function bannedCalls(file: string, text: string): string[] {
  if (!PURE.includes(folderOf(file))) return [];
  return text.split('\n').flatMap((line, i) => {
    if (/^\s*(\/\/|\*|\/\*)/.test(line)) return [];
    return BANNED.filter(([phrase]) => new RegExp(`\\b${phrase.replace(/[.()]/g, '\\$&')}`).test(line)).map(
      ([phrase, instead]) => `src/${relative(SRC, file)}:${i + 1}: ${phrase} is banned, use ${instead}`,
    );
  });
}

/**
 * Files that import one another in a circle, type imports too: each circle's files in order. A strongly connected
 * component, by Tarjan (SIAM Journal on Computing 1:146, 1972).
 */
function circlesOf(imports: ReadonlyMap<string, readonly string[]>): string[][] {
  const circles: string[][] = [];
  const number = new Map<string, number>();
  const lowest = new Map<string, number>();
  const open: string[] = [];
  const visit = (file: string): void => {
    number.set(file, number.size);
    lowest.set(file, number.get(file)!);
    open.push(file);
    for (const other of imports.get(file) ?? []) {
      if (!number.has(other)) visit(other);
      if (open.includes(other)) lowest.set(file, Math.min(lowest.get(file)!, lowest.get(other)!));
    }
    if (lowest.get(file) !== number.get(file)) return;
    const circle = open.splice(open.indexOf(file));
    if (circle.length > 1 || imports.get(file)?.includes(file)) circles.push(circle.sort());
  };
  for (const file of imports.keys()) visit(file);
  return circles.sort((a, b) => a[0]!.localeCompare(b[0]!));
}

/** The drawing of DEVELOPERS.md, the top line first: how far down each folder stands. */
function drawnLayers(): Map<string, number> {
  const text = readFileSync(join(SRC, '../DEVELOPERS.md'), 'utf8');
  const drawing = /^```layers\n([^`]*)^```/m.exec(text)?.[1] ?? '';
  return new Map(
    drawing.split('\n').flatMap((line, i) => line.split(/\s+/).map((name) => [name, i] as const)),
  );
}

/** Imports, type imports too, that do not lead to a lower line of the drawing. */
function climbingImports(file: string, text: string, layers: ReadonlyMap<string, number>): string[] {
  const own = folderOf(file);
  return importsOf(text)
    .filter(({ from }) => from.startsWith('.'))
    .map(({ from }) => folderOf(resolve(dirname(file), from)))
    .filter((other) => other !== own && !(layers.get(other)! > layers.get(own)!))
    .map((other) => `${nameOf(file)} imports ${other}, which does not stand under ${own}`);
}

function nameOf(file: string): string {
  return relative(SRC, file).split(sep).join('/');
}

function importedFiles(file: string, text: string): string[] {
  return importsOf(text)
    .filter(({ from }) => from.startsWith('.'))
    .map(({ from }) => nameOf(resolve(dirname(file), from)));
}

function exportedTypes(text: string): string[] {
  return [...text.matchAll(/^export (?:declare )?(?:abstract )?(?:type|interface|class|enum) (\w+)/gm)].map(
    (m) => m[1]!,
  );
}

/** Names that more than one file gives to an exported type, with these files. */
function namesGivenTwice(files: readonly { file: string; text: string }[]): string[] {
  const given = new Map<string, string[]>();
  for (const { file, text } of files) {
    for (const name of exportedTypes(text)) given.set(name, [...(given.get(name) ?? []), nameOf(file)]);
  }
  return [...given]
    .filter(([, where]) => where.length > 1)
    .map(([name, where]) => `${name}: ${where.sort().join(', ')}`)
    .sort();
}

/** What a test or a program that it starts is given, as a number or a name of the file's own. */
function hasOwnLimit(test: string): boolean {
  return /^\s*\}, ?[\d_]{4,}\);|\btimeout: [\d_]+|^\s*[\d_]{4,},\n\);|\bHANGS_MS =/m.test(
    test.replace('export const HANGS_MS =', ''),
  );
}

describe('the architecture', () => {
  const files = typescriptIn(SRC).map((file) => ({ file, text: readFileSync(file, 'utf8') }));

  it('has files to look at', () => {
    expect(files.length).toBeGreaterThan(20);
  });

  it('imports in one direction', () => {
    expect(files.flatMap(({ file, text }) => importTrouble(file, text))).toEqual([]);
  });

  it('is as it is drawn: no import, of a type neither, leads back or sideways', () => {
    const layers = drawnLayers();
    expect(files.flatMap(({ file, text }) => climbingImports(file, text, layers))).toEqual([]);
    const probe = join(SRC, 'take', 'probe.ts');
    for (const other of ['session/session.ts', 'take.ts', 'nowhere/at-all.ts'])
      expect(climbingImports(probe, `import type { A } from '../${other}';`, layers)).toHaveLength(1);
  });

  it('keeps the rooms of notation apart', () => {
    const room = (name: string) => /^notation\/([^/]+)\//.exec(name)?.[1];
    const troubles = files.flatMap(({ file, text }) => {
      const own = room(nameOf(file));
      if (own === undefined) return [];
      const others = importedFiles(file, text)
        .map(room)
        .filter((other) => other !== undefined && other !== own);
      return others
        .filter((other) => !ROOMS[own]?.includes(other!))
        .map((other) => `${nameOf(file)}: ${other}`);
    });
    expect(troubles).toEqual([]);
  });

  it('keeps clocks, chance and I/O out of the pure folders', () => {
    expect(files.flatMap(({ file, text }) => bannedCalls(file, text))).toEqual([]);
  });

  it('has no circle of imports but those still to be broken', () => {
    const imports = new Map(files.map(({ file, text }) => [nameOf(file), importedFiles(file, text)]));
    expect(circlesOf(imports).map((circle) => circle.join(' '))).toEqual(KNOWN_CIRCLES);
  });

  it('gives no name to two exported types', () => {
    expect(namesGivenTwice(files)).toEqual([]);
  });

  it('names no file in a comment that is not there', () => {
    const there = new Set(
      [SRC, TEST].flatMap((folder) => typescriptIn(folder)).map((file) => basename(file)),
    );
    const missing = files.flatMap(({ file, text }) =>
      filesInComments(text)
        .filter((name) => !there.has(name))
        .map((name) => `${nameOf(file)}: ${name}`),
    );
    expect(missing).toEqual([]);
    expect(filesInComments('const a = 1; // as in gate.ts\n * (see take.ts)\n')).toEqual([
      'gate.ts',
      'take.ts',
    ]);
  });

  it('has one limit of time for what hangs: no test has its own (test/hangs.ts)', () => {
    const own = typescriptIn(TEST)
      // Programs and real devices, which run in their own time.
      .filter((file) => !/^(alsa|bench|fuzz|soak|sound)\b/.test(relative(TEST, file)))
      .filter((file) => hasOwnLimit(readFileSync(file, 'utf8')));
    expect(own.map((file) => relative(TEST, file))).toEqual([]);
    expect(
      ["it('hangs', () => {\n}, 60_000);", `{ timeout: ${'60_000'} }`, '  20_000,\n);'].every(hasOwnLimit),
    ).toBe(true);
  });

  it('would notice a circle, of one file or of several, and a name given twice', () => {
    const imports = (pairs: string) =>
      new Map(pairs.split(' ').map((pair) => [pair[0]!, pair.slice(1).split('')] as const));
    expect(circlesOf(imports('abc bd cd d'))).toEqual([]);
    expect(circlesOf(imports('ab bc cad de ed ff'))).toEqual([['a', 'b', 'c'], ['d', 'e'], ['f']]);
    const file = (name: string, text: string) => ({ file: join(SRC, name), text });
    const one = file('music/one.ts', 'export interface Beam {}\nexport type Stem = 1;');
    expect(namesGivenTwice([one, file('music/two.ts', 'export type Beam = 2;\ntype Stem = 3;')])).toEqual([
      'Beam: music/one.ts, music/two.ts',
    ]);
  });

  it('would notice a forbidden import and a banned call', () => {
    const file = join(SRC, 'matching', 'probe.ts');
    expect(importTrouble(file, "import { draw } from '../screen/draw.ts';")).toHaveLength(1);
    expect(importTrouble(file, "import fs from 'node:fs';")).toHaveLength(1);
    expect(importTrouble(file, "import { Pitch } from '../music/pitch.ts';")).toEqual([]);
    expect(bannedCalls(file, 'const t = Date.now();')).toHaveLength(1);
    expect(bannedCalls(file, '// Date.now is not asked here')).toEqual([]);
  });
});
