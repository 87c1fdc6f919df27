// How often what went wrong at each onset, over many takes.

import type { EntrySummary } from '../record/entry.ts';
import type { KeptSlip } from '../record/kept-verdict.ts';

export type CountedTrouble = 'short' | 'long' | 'wrong' | 'missed' | 'added' | 'blip';

/** By onset number, rising; an interval counts at the onset that it leads to. */
export type TroubleCounts = ReadonlyMap<number, ReadonlyMap<CountedTrouble, number>>;

const COUNTED: Readonly<Partial<Record<KeptSlip['kind'], CountedTrouble>>> = {
  wrong: 'wrong',
  missed: 'missed',
  extra: 'added',
  blip: 'blip',
  restart: 'added',
};

export function troubleCounts(takes: readonly Pick<EntrySummary, 'verdict'>[]): TroubleCounts {
  const counts = new Map<number, Map<CountedTrouble, number>>();
  const count = (onset: number, trouble: CountedTrouble) => {
    const there = counts.get(onset) ?? new Map<CountedTrouble, number>();
    counts.set(onset, there.set(trouble, (there.get(trouble) ?? 0) + 1));
  };
  for (const { verdict } of takes) {
    for (const { to, clean, deviationMicros } of verdict?.intervals ?? []) {
      if (!clean) count(to, deviationMicros < 0 ? 'short' : 'long');
    }
    for (const { kind, onset } of verdict?.slips ?? []) {
      const trouble = COUNTED[kind];
      if (trouble) count(onset, trouble);
    }
  }
  return new Map([...counts].sort(([a], [b]) => a - b));
}
