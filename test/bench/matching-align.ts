// npm run bench:matching -- CASES.jsonl.gz --out ALIGNMENTS.jsonl [--online]
// Aligns every case and writes a line for each: {id, matches, substitutions}. With --online a line holds what `follow`
// had matched, and each decision as it stood when it was committed: {id, matches, decisions}.

import { writeFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { align } from '../../src/matching/align.ts';
import type { Alignment } from '../../src/matching/alignment.ts';
import { type ConvertedCase, convert, readCases } from './matching-cases.ts';
import { count, followCase, type OnlineFigures, summary } from './matching-online.ts';

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
const figures: OnlineFigures = { decisions: 0, right: 0, rightAtOnce: 0, rightWithinTwo: 0, waitedMs: [] };
const started = performance.now();
const lines = cases.map((c) => (values.online ? onlineLine(c) : line(c, align(c.expectation, c.played))));
writeFileSync(values.out, `${lines.join('\n')}\n`);
console.log(`${cases.length} cases, ${Math.round(performance.now() - started)} ms`);
if (values.online) console.log(summary(figures));

function line(c: ConvertedCase, alignment: Alignment): string {
  const pairs = (kind: 'right' | 'wrong'): [string, string][] =>
    alignment.notes
      .filter((n) => n.verdict === kind)
      .map((n) => [c.scoreIds[n.onset]![n.note]!, c.perfIds[n.played!]!]);
  return JSON.stringify({ id: c.given.id, matches: pairs('right'), substitutions: pairs('wrong') });
}

function onlineLine(c: ConvertedCase): string {
  const { decisions, matches } = followCase(c);
  count(figures, c.given, decisions);
  return JSON.stringify({ id: c.given.id, matches, decisions });
}
