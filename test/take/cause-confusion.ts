// How often a planted cause is named as what it is.

import { align } from '../../src/matching/align.ts';
import { Random } from '../../src/simulation/random.ts';
import { judge } from '../../src/take/judge.ts';
import { TOLERANCES } from '../../src/take/tolerance.ts';
import type { Trouble } from '../../src/take/verdict.ts';
import { PLANTED_CAUSES, type PlantedCause, type PlantedTake, plantedTake } from './planted-causes.ts';

export interface Confusion {
  readonly cause: PlantedCause;
  /** Takes that were not clean, by what was named first. */
  readonly named: ReadonlyMap<string, number>;
  readonly clean: number;
  readonly right: number;
  readonly opposite: readonly string[];
}

export function confusionOf(takes: number, seed: number): Confusion[] {
  return PLANTED_CAUSES.map((cause, c) => {
    const named = new Map<string, number>();
    const opposite: string[] = [];
    let [clean, right] = [0, 0];
    for (let i = 0; i < takes; i++) {
      const take = plantedTake(cause, new Random(seed + i, c), TOLERANCES.steady);
      const verdict = judge(take.expectation, take.played, align(take.expectation, take.played), {
        tolerance: TOLERANCES.steady,
      });
      const [first] = verdict.troubles;
      if (!first) {
        clean++;
        continue;
      }
      named.set(first.kind, (named.get(first.kind) ?? 0) + 1);
      if (isRight(first, take)) right++;
      // Where chance kept the planted fault within the tolerance and another note out of it, the other is the fault.
      const there = verdict.intervals.filter(({ from, to }) => from === take.onset || to === take.onset);
      const heard =
        there.some((interval) => !interval.clean) && !verdict.troubles.some((one) => isRight(one, take));
      if (heard && isOpposite(first, take)) opposite.push(`${cause} ${i}: ${JSON.stringify(first)}`);
    }
    return { cause, named, clean, right, opposite };
  });
}

function isRight(trouble: Trouble, { cause, onset }: PlantedTake): boolean {
  switch (trouble.kind) {
    case 'rushed':
    case 'dragged':
    case 'hesitated':
      return cause === 'interval' && trouble.interval.to === onset;
    case 'displaced':
      return cause === 'displaced' && trouble.onset === onset;
    default:
      return trouble.kind === cause;
  }
}

/** Advice that would make it worse: the other way at the place of the fault, or for the whole of it. */
function isOpposite(trouble: Trouble, { cause, onset, way }: PlantedTake): boolean {
  const sign = (value: number) => Math.sign(value) === -way;
  switch (trouble.kind) {
    case 'rushed':
    case 'dragged':
    case 'hesitated': {
      const { from, to, deviationMicros, playedMicros } = trouble.interval;
      // Told as swapped, and with what to do about that.
      if (playedMicros < 0) return false;
      if (cause === 'interval' || cause === 'displaced')
        return (to === onset || from === onset) && sign(deviationMicros);
      return (cause === 'tempo' || cause === 'drift') && sign(deviationMicros);
    }
    case 'displaced':
      // The note before an interval that is long: played sooner it makes it longer yet, played later shorter.
      if (cause === 'interval' && trouble.onset === onset - 1) return !sign(trouble.offsetMicros);
      if (cause === 'interval' || cause === 'displaced')
        return Math.abs(trouble.onset - onset) <= 1 && sign(trouble.offsetMicros);
      return false;
    case 'tempo':
    case 'drift':
      return (cause === 'tempo' || cause === 'drift') && sign(trouble.share);
    case 'pattern':
      return cause === 'pattern' && trouble.place === 1 && sign(trouble.offsetMicros);
    case 'hand':
      return cause === 'hand' && sign(trouble.offsetMicros);
    default:
      return false;
  }
}

export function confusionTable(confusions: readonly Confusion[]): string {
  const columns = [...new Set(confusions.flatMap(({ named }) => [...named.keys()]))].sort();
  const rows = confusions.map(({ cause, named, clean, right }) => {
    const told = [...named.values()].reduce((a, b) => a + b, 0);
    return [
      cause,
      ...columns.map((kind) => named.get(kind) ?? 0),
      clean,
      `${((100 * right) / told).toFixed(1)} %`,
    ];
  });
  return [
    ['planted', ...columns, 'clean', 'right'],
    ['---', ...columns.map(() => '---'), '---', '---'],
    ...rows,
  ]
    .map((row) => `| ${row.join(' | ')} |`)
    .join('\n');
}
