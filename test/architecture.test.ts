// Holds the import table and the banned calls of DEVELOPERS.md ("Invariants"). Reads the import lines of every file.

import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, resolve, sep } from 'node:path';
import { describe, expect, it } from 'vitest';

const SRC = resolve(import.meta.dirname, '../src');

/** Everything that stands below what is said and drawn. */
const UP_TO_SESSIONS = [
  'music',
  'notation',
  'drills',
  'matching',
  'fingering',
  'coaching',
  'record',
  'session',
  'section',
];

/** Which folders of src a folder may import. `*` = all. Its own is always allowed. */
const MAY_IMPORT: Record<string, readonly string[]> = {
  ground: [],
  music: [],
  notation: ['music'],
  drills: ['music'],
  matching: ['music'],
  fingering: ['music'],
  coaching: ['music', 'drills', 'matching', 'fingering', 'record'],
  record: ['music', 'matching'],
  session: ['music', 'notation', 'drills', 'matching', 'fingering', 'coaching', 'record'],
  section: ['music', 'notation', 'drills', 'matching', 'fingering', 'coaching', 'record', 'session'],
  wording: UP_TO_SESSIONS,
  screen: [...UP_TO_SESSIONS, 'wording'],
  report: [...UP_TO_SESSIONS, 'wording'],
  sheet: [...UP_TO_SESSIONS, 'wording'],
  ports: [],
  devices: ['ports', 'music'],
  simulation: ['ports', 'music'],
  commands: ['*'],
  main: ['*'],
};

/** Types may be imported where values may not: they leave no trace at run time. */
const MAY_IMPORT_TYPES: Record<string, readonly string[]> = {
  ports: ['music', 'drills', 'matching', 'record'],
  record: ['ports'],
  session: ['ports'],
  section: ['ports'],
  screen: ['ports'],
  devices: ['drills', 'matching', 'record'],
  simulation: ['drills', 'matching', 'record'],
};

/** Folders whose result depends on their arguments alone. */
const PURE = [
  'ground',
  'music',
  'notation',
  'drills',
  'matching',
  'fingering',
  'coaching',
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
  ['new Date(', 'the clock port, at the edge'],
  ['performance.now', 'an `at` from the event'],
  ['setTimeout', 'nextWakeUp'],
  ['setInterval', 'nextWakeUp'],
  ['Math.random', 'a seed'],
  ['process.', 'a parameter'],
  ['console.', 'an effect or a returned value'],
];

/** Packages that only the outside may know. */
const IO_PACKAGES = ['@julusian/midi', 'blessed', 'libsql', 'node-web-audio-api', 'commander', 'env-paths'];

interface Import {
  readonly from: string;
  readonly typeOnly: boolean;
}

function sourceFiles(): string[] {
  return readdirSync(SRC, { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.ts'))
    .map((name) => join(SRC, name));
}

/** What every folder may import, and what imports nothing: the world's troubles, and statistics. */
const GROUND = ['problem.ts', 'statistics.ts'];

/** Other files directly in src (main, run-session and their like) are wiring. */
function folderOf(file: string): string {
  const parts = relative(SRC, file).split(sep);
  if (GROUND.includes(parts[0]!)) return 'ground';
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
    return BANNED.filter(([phrase]) => new RegExp(`\\b${phrase.replace(/[.(]/g, '\\$&')}`).test(line)).map(
      ([phrase, instead]) => `src/${relative(SRC, file)}:${i + 1}: ${phrase} is banned, use ${instead}`,
    );
  });
}

describe('the architecture', () => {
  const files = sourceFiles().map((file) => ({ file, text: readFileSync(file, 'utf8') }));

  it('has files to look at', () => {
    expect(files.length).toBeGreaterThan(20);
  });

  it('imports in one direction', () => {
    expect(files.flatMap(({ file, text }) => importTrouble(file, text))).toEqual([]);
  });

  it('keeps clocks, chance and I/O out of the pure folders', () => {
    expect(files.flatMap(({ file, text }) => bannedCalls(file, text))).toEqual([]);
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
