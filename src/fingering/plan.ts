// The plan: the cheapest fingerings for a line, a shortest path over the alternates of its notes. Of plans that cost the
// same, the one with fewest departures from standard fingerings; of those, the one that is standard soonest.

import type { Pitch } from '../music/pitch.ts';
import { changeCost, haste, soundCost } from './cost.ts';
import { fingerChange } from './finger-change.ts';
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
  const cost = costMemory(table);
  const after = pricesAfter(notes, choices, cost);
  const plan: Planned[] = [];
  choices.forEach((here, i) => {
    const ways = here.map((to, k) => sum(step(plan[i - 1], to, weightBefore(notes, i), cost), after[i]![k]!));
    const best = cheapest(ways);
    plan.push(best === undefined ? undefined : here[best]);
  });
  return plan;
}

/** What a plan, or any other choice of fingerings, costs: hundredths of a finger in unhurried notes. */
export function lineCost(
  table: FingeringTable,
  notes: readonly PlanNote[],
  fingerings: readonly Planned[],
): number {
  const cost = costMemory(table);
  return fingerings.reduce(
    (total, to, i) => (to ? total + step(fingerings[i - 1], to, weightBefore(notes, i), cost).cost : total),
    0,
  );
}

/** Departures break ties only. */
interface Price {
  readonly cost: number;
  readonly departures: number;
}

const FREE: Price = { cost: 0, departures: 0 };

type Cost = (from: Fingering, to: Fingering) => number;

function sum(a: Price, b: Price): Price {
  return { cost: a.cost + b.cost, departures: a.departures + b.departures };
}

function isLess(a: Price, b: Price): boolean {
  return a.cost < b.cost || (a.cost === b.cost && a.departures < b.departures);
}

/** What was reckoned already, by table: it never changes. */
const MEMORIES = new WeakMap<FingeringTable, Cost>();

function costMemory(table: FingeringTable): Cost {
  const memory = MEMORIES.get(table) ?? newMemory(table);
  MEMORIES.set(table, memory);
  return memory;
}

/** Each pair is reckoned once. */
function newMemory(table: FingeringTable): Cost {
  const size = table.fingerings.length;
  const known = new Int32Array(size * size).fill(-1);
  return (from, to) => {
    const at = from.index * size + to.index;
    if (known[at]! < 0) known[at] = changeCost(fingerChange(table, from, to));
    return known[at]!;
  };
}

/** How much the change that leads to a note counts. */
function weightBefore(notes: readonly PlanNote[], index: number): number {
  const last = notes[index - 1];
  return last ? haste(last.micros, last.rested) : 0;
}

/** The price of going to a fingering, and of it itself. */
function step(from: Planned, to: Fingering, weight: number, cost: Cost): Price {
  const change = from ? cost(from, to) * weight : 0;
  return { cost: change + soundCost(to), departures: to.rank > 0 ? 1 : 0 };
}

/** For each note and fingering, the cheapest way on from it to the end, or to a note without a fingering. */
function pricesAfter(
  notes: readonly PlanNote[],
  choices: readonly (readonly Fingering[])[],
  cost: Cost,
): Price[][] {
  const after: Price[][] = choices.map(() => []);
  for (let i = choices.length - 1; i >= 0; i--) {
    const next = choices[i + 1] ?? [];
    const weight = weightBefore(notes, i + 1);
    after[i] = choices[i]!.map((from) => {
      const ways = next.map((to, k) => sum(step(from, to, weight, cost), after[i + 1]![k]!));
      const best = cheapest(ways);
      return best === undefined ? FREE : ways[best]!;
    });
  }
  return after;
}

/** Index of the least, the first of equals. */
function cheapest(prices: readonly Price[]): number | undefined {
  let best: number | undefined;
  prices.forEach((price, i) => {
    if (best === undefined || isLess(price, prices[best]!)) best = i;
  });
  return best;
}
