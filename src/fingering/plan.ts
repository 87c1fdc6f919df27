// The plan: the cheapest fingerings for a line, a shortest path over the alternates of its notes. Of plans that cost the
// same, the one with fewest departures from standard fingerings; of those, the one that is standard soonest.

import type { Pitch } from '../music/pitch.ts';
import { haste, pricedChange, soundCost } from './cost.ts';
import type { Fingering } from './fingering.ts';
import type { FingeringTable } from './table.ts';

/** What the plan needs to know of a note. */
export interface PlanNote {
  /** Written. */
  readonly pitch: Pitch;
  /** To the beginning of the next note. */
  readonly micros: number;
  /** A rest stands before the next note. */
  readonly rested: boolean;
}

/** A note's fingering; undefined where the table does not reach: the plan goes on around it. */
export type Planned = Fingering | undefined;

/** One for each note, in order. Linear in the number of notes. */
export function planFingerings(table: FingeringTable, notes: readonly PlanNote[]): Planned[] {
  const choices = notes.map(({ pitch }) => table.ofPitch.get(pitch) ?? []);
  const after = pricesAfter(table, notes, choices);
  const plan: Planned[] = [];
  choices.forEach((here, i) => {
    const weight = weightBefore(notes, i);
    let least = Number.POSITIVE_INFINITY;
    let best: Planned;
    here.forEach((to, k) => {
      const price = step(table, plan[i - 1], to, weight) + after[i]![k]!;
      // The first of equals stays.
      if (price >= least) return;
      least = price;
      best = to;
    });
    plan.push(best);
  });
  return plan;
}

/** What a plan, or any other choice of fingerings, costs: hundredths of a finger in unhurried notes. */
export function lineCost(
  table: FingeringTable,
  notes: readonly PlanNote[],
  fingerings: readonly Planned[],
): number {
  return fingerings.reduce((total, to, i) => {
    const price = to ? step(table, fingerings[i - 1], to, weightBefore(notes, i)) : 0;
    return total + Math.floor(price / COST_UNIT);
  }, 0);
}

/**
 * A cost and, to break ties, the number of departures from standard fingerings, in one whole number: a departure is one,
 * a unit of cost more than the departures of any line. Exact up to a cost of 8 * 10^9.
 */
type Price = number;

const COST_UNIT = 2 ** 20;

/** How much the change that leads to a note counts. */
function weightBefore(notes: readonly PlanNote[], index: number): number {
  const last = notes[index - 1];
  return last ? haste(last.micros, last.rested) : 0;
}

/** The price of going to a fingering, and of it itself. */
function step(table: FingeringTable, from: Planned, to: Fingering, weight: number): Price {
  const change = from ? pricedChange(table, from, to).cost * weight : 0;
  return (change + soundCost(to)) * COST_UNIT + (to.rank > 0 ? 1 : 0);
}

/** For each note and fingering, the cheapest way on from it to the end, or to a note without a fingering. */
function pricesAfter(
  table: FingeringTable,
  notes: readonly PlanNote[],
  choices: readonly (readonly Fingering[])[],
): Price[][] {
  const after: Price[][] = choices.map(() => []);
  for (let i = choices.length - 1; i >= 0; i--) {
    const next = choices[i + 1] ?? [];
    const weight = weightBefore(notes, i + 1);
    const onward = after[i + 1];
    after[i] = choices[i]!.map((from) => {
      let least = Number.POSITIVE_INFINITY;
      next.forEach((to, k) => {
        least = Math.min(least, step(table, from, to, weight) + onward![k]!);
      });
      return next.length === 0 ? 0 : least;
    });
  }
  return after;
}
