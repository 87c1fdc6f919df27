// tsx test/bench/matching-folds.ts SCORER.mjs CASES.jsonl.gz ALIGNMENTS.jsonl...
// Chooses between variants of the matcher (one file of alignments each, see matching-align.ts) on all folds but one, by
// the sum of the three figures, and says how the chosen one does on that fold; all folds in turn.

import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { type Case, readCases } from './matching-cases.ts';

const [scorer, file, ...variants] = process.argv.slice(2);
if (!scorer || !file || variants.length === 0) {
  console.error('usage: tsx test/bench/matching-folds.ts SCORER.mjs CASES.jsonl.gz ALIGNMENTS.jsonl...');
  process.exit(2);
}
const cases = readCases(file) as (Case & { readonly fold: number })[];
const folder = mkdtempSync(join(tmpdir(), 'fettle-folds-'));
const folds = [...new Set(cases.map((c) => c.fold))].sort((a, b) => a - b);
for (const fold of folds) {
  const others = variants.map((variant) => figures((c) => c.fold !== fold, variant));
  const sums = others.map((f) => f.reduce((sum, one) => sum + one, 0));
  const chosen = variants[sums.indexOf(Math.max(...sums))]!;
  const shown = figures((c) => c.fold === fold, chosen).map((f) => f.toFixed(2));
  console.log(
    `fold ${fold}: ${basename(chosen)} is best on the others; match, missed, extra here ${shown.join(' / ')}`,
  );
}
rmSync(folder, { recursive: true });

function figures(wanted: (c: { readonly fold: number }) => boolean, alignments: string): number[] {
  const some = join(folder, 'some.jsonl.gz');
  const lines = cases.filter(wanted).map((c) => JSON.stringify(c));
  writeFileSync(some, gzipSync(lines.join('\n')));
  const { stdout } = spawnSync(process.execPath, [scorer!, some, alignments], { encoding: 'utf8' });
  const found = /F1 match (\S+) missed (\S+) extra (\S+)/.exec(stdout);
  if (!found) throw new Error(`${scorer} said no figures for ${alignments}`);
  return found.slice(1).map(Number);
}
