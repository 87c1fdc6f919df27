// npm run bench:matching -- CASES.jsonl.gz --out ALIGNMENTS.jsonl [--online]
// Aligns every case and writes a line for each: {id, matches, substitutions}.

import { writeFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { align } from '../../src/matching/align.ts';
import type { Alignment } from '../../src/matching/alignment.ts';
import { type ConvertedCase, convert, readCases } from './matching-cases.ts';

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: { out: { type: 'string' }, online: { type: 'boolean', default: false } },
});
const file = positionals[0];
if (!file || !values.out) {
  console.error('usage: npm run bench:matching -- CASES.jsonl.gz --out ALIGNMENTS.jsonl [--online]');
  process.exit(2);
}
const cases = readCases(file).map((c) => convert(c));
const started = performance.now();
const lines = cases.map((c) => line(c, align(c.expectation, c.played)));
writeFileSync(values.out, `${lines.join('\n')}\n`);
console.log(`${cases.length} cases, ${Math.round(performance.now() - started)} ms`);

function line(c: ConvertedCase, alignment: Alignment): string {
  const pairs = (kind: 'right' | 'wrong'): [string, string][] =>
    alignment.notes
      .filter((n) => n.verdict === kind)
      .map((n) => [c.scoreIds[n.onset]![n.note]!, c.perfIds[n.played!]!]);
  return JSON.stringify({ id: c.given.id, matches: pairs('right'), substitutions: pairs('wrong') });
}
