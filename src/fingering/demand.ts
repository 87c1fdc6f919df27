// What each interval of a line asks of the fingers, at the tempo: where the trouble will be, before a note is played.

import { haste, pricedChange } from './cost.ts';
import type { FingerChange } from './finger-change.ts';
import type { PlanNote, Planned } from './plan.ts';
import type { FingeringTable } from './table.ts';

export interface Demand {
  /** Index of the note that the interval leads to. */
  readonly note: number;
  readonly change: FingerChange;
  /** In hundredths of a finger in unhurried notes; comparable within one line. */
  readonly cost: number;
}

/** One for each interval between two notes that have a fingering, in order. */
export function demandsOf(
  table: FingeringTable,
  notes: readonly PlanNote[],
  plan: readonly Planned[],
): Demand[] {
  return plan.flatMap((to, note) => {
    const from = plan[note - 1];
    if (!from || !to) return [];
    const { change, cost } = pricedChange(table, from, to);
    const { micros, rested } = notes[note - 1]!;
    return [{ note, change, cost: cost * haste(micros, rested) }];
  });
}

/** The hardest first; of equals, the one that comes first. */
export function hardestFirst(demands: readonly Demand[]): Demand[] {
  return demands.toSorted((a, b) => b.cost - a.cost || a.note - b.note);
}
