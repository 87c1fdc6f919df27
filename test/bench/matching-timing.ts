// tsx test/bench/matching-timing.ts CASES.jsonl.gz
// How well injected rushes, drags and hesitations are found among the intervals of takes with a metronomic base, with
// the tempo given and without it, and how near the measured deviations come to the truth.

import { align } from '../../src/matching/align.ts';
import { judge } from '../../src/take/judge.ts';
import { standouts } from '../../src/take/standouts.ts';
import { TOLERANCES } from '../../src/take/tolerance.ts';
import { type ConvertedCase, convert, readCases } from './matching-cases.ts';

const KINDS = ['rush', 'drag', 'hesitation'];
const file = process.argv[2];
if (!file) {
  console.error('usage: tsx test/bench/matching-timing.ts CASES.jsonl.gz');
  process.exit(2);
}
const cases = readCases(file).filter((c) => c.truth.grid);
for (const pulse of ['click', 'free'] as const) {
  const found = { hits: 0, wrongly: 0, overlooked: 0 };
  const errorsMs: number[] = [];
  for (const given of cases) {
    const c = convert(given, { pulse });
    // Without the tempo: the asked one is another.
    const expectation =
      pulse === 'click' ? c.expectation : { ...c.expectation, tempo: { ...c.expectation.tempo, bpm: 90 } };
    const alignment = align(expectation, c.played);
    const verdict = judge(expectation, c.played, alignment, { tolerance: TOLERANCES.steady });
    const truth = injected(c);
    const told = new Set(standouts(verdict.intervals).map((i) => i.from));
    const judged = new Set(verdict.intervals.map((i) => i.from));
    for (const from of told) truth.has(from) ? found.hits++ : found.wrongly++;
    for (const from of truth.keys()) if (judged.has(from) && !told.has(from)) found.overlooked++;
    if (pulse === 'click') errorsMs.push(...deviationErrors(c, verdict.intervals, truth));
  }
  const f1 = (200 * found.hits) / (2 * found.hits + found.wrongly + found.overlooked);
  console.log(
    `tempo ${pulse === 'click' ? 'given' : 'not given'}: interval F1 ${f1.toFixed(1)} % ` +
      `(${found.hits} found, ${found.wrongly} wrongly, ${found.overlooked} overlooked)`,
  );
  if (errorsMs.length > 0) {
    console.log(
      `deviations: ${errorsMs.length} intervals, widest error ${Math.max(...errorsMs).toFixed(2)} ms`,
    );
  }
}

/** Interval (by its first onset) to what was injected there, milliseconds. */
function injected(c: ConvertedCase): Map<number, number> {
  const onsetOf = onsetsById(c);
  const found = new Map<number, number>();
  for (const e of c.given.truth.events ?? []) {
    if (!KINDS.includes(e.kind) || !e.fromScoreId) continue;
    const from = onsetOf.get(e.fromScoreId)!;
    found.set(from, (found.get(from) ?? 0) + (e.deltaMs ?? 0));
  }
  return found;
}

/** |measured - true| deviation of every judged interval: jitter at its end minus at its beginning, plus what was injected. */
function deviationErrors(
  c: ConvertedCase,
  intervals: readonly { readonly from: number; readonly deviationMicros: number }[],
  truth: ReadonlyMap<number, number>,
): number[] {
  const jitter = new Map(c.given.truth.grid!.devMs);
  return intervals.flatMap(({ from, deviationMicros }) => {
    const start = jitter.get(c.scoreIds[from]![0]!);
    const end = jitter.get(c.scoreIds[from + 1]![0]!);
    if (start === undefined || end === undefined || slipAt(c, from)) return [];
    return [Math.abs(deviationMicros / 1000 - (end - start + (truth.get(from) ?? 0)))];
  });
}

/** Injected slips shift the time too (a skipped or added note's time); their amount is not a timing deviation. */
function slipAt(c: ConvertedCase, from: number): boolean {
  const onsetOf = onsetsById(c);
  return (c.given.truth.events ?? []).some((e) => {
    if (KINDS.includes(e.kind)) return false;
    const at = [e.scoreId, e.fromScoreId, e.beforeScoreId, e.atScoreId, e.backToScoreId];
    return at.some((id) => id !== undefined && Math.abs((onsetOf.get(id) ?? -9) - from) <= 1);
  });
}

function onsetsById(c: ConvertedCase): Map<string, number> {
  return new Map(c.scoreIds.flatMap((ids, onset) => ids.map((id) => [id, onset] as const)));
}
