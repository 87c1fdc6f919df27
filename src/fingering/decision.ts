// Where a line needs a decision, what was decided, and what the other choice would have cost.

import { COST_NAMES, type CostName, haste, type PricedChange, pricedChange } from './cost.ts';
import type { Shift } from './finger-change.ts';
import type { Fingering, FingeringName } from './fingering.ts';
import { lineCost, type PlanNote, type Planned } from './plan.ts';
import type { FingeringTable } from './table.ts';

export interface Decision {
  /** Index of the note. */
  readonly note: number;
  readonly fingering: Fingering;
  /** What it was preferred to: the standard fingering, or for either little finger the other one. */
  readonly rival: Fingering;
  readonly reason: Reason;
}

/**
 * What the rival would have had more of, beside this note's neighbours as they are planned. `line`: nothing here: it is
 * the line as a whole that comes out cheaper.
 */
type Reason =
  | { readonly kind: 'slide'; readonly shift: Shift; readonly neighbour: number }
  | {
      readonly kind: Exclude<CostName, 'leaps' | 'rollers'>;
      readonly neighbour: number;
      readonly count: number;
    }
  | { readonly kind: 'line' };

/** The notes that a player should write something under: an alternate, or either hand where it matters which. */
export function decisions(
  table: FingeringTable,
  notes: readonly PlanNote[],
  plan: readonly Planned[],
): Decision[] {
  return plan.flatMap((fingering, note) => {
    const rival = fingering && rivalOf(table, fingering);
    if (!rival) return [];
    if (isHand(fingering.name) && !isDearer(table, notes, plan, note, rival)) return [];
    return [{ note, fingering, rival, reason: reasonFor(table, notes, plan, note, rival) }];
  });
}

/** A slide in the plan: the same finger from key to key, where no other choice was cheaper. */
export interface PlannedSlide {
  /** Index of the note that it leads to. */
  readonly note: number;
  readonly shift: Shift;
}

export function slidesOf(table: FingeringTable, plan: readonly Planned[]): PlannedSlide[] {
  return plan.flatMap((to, note) => {
    const from = plan[note - 1];
    if (!from || !to) return [];
    const { shifts } = pricedChange(table, from, to).change;
    return shifts.filter(({ kind }) => kind !== 'roll').map((shift) => ({ note, shift }));
  });
}

function isHand(name: FingeringName): boolean {
  return name === 'left' || name === 'right';
}

function rivalOf(table: FingeringTable, { name, pitch, rank }: Fingering): Fingering | undefined {
  const all = table.ofPitch.get(pitch)!;
  if (isHand(name)) return all.find((other) => isHand(other.name) && other.name !== name);
  return name !== '' && rank > 0 ? all[0] : undefined;
}

/** Whether the rival would cost more while all other notes stay as they are planned. */
function isDearer(
  table: FingeringTable,
  notes: readonly PlanNote[],
  plan: readonly Planned[],
  note: number,
  rival: Fingering,
): boolean {
  const first = Math.max(0, note - 1);
  const cost = (own: Planned) =>
    lineCost(table, notes.slice(first, note + 2), [...plan.slice(first, note), own, plan[note + 1]]);
  return cost(rival) > cost(plan[note]);
}

function reasonFor(
  table: FingeringTable,
  notes: readonly PlanNote[],
  plan: readonly Planned[],
  note: number,
  rival: Fingering,
): Reason {
  const own = plan[note]!;
  let most:
    | { name: CostName; neighbour: number; saved: number; ours: PricedChange; theirs: PricedChange }
    | undefined;
  for (const neighbour of [note - 1, note + 1]) {
    const other = plan[neighbour];
    if (!other) continue;
    const first = Math.min(note, neighbour);
    const weight = haste(notes[first]!.micros, notes[first]!.rested);
    const beside = (mine: Fingering) =>
      neighbour < note ? pricedChange(table, other, mine) : pricedChange(table, mine, other);
    const [ours, theirs] = [beside(own), beside(rival)];
    for (const name of COST_NAMES) {
      const saved = (theirs.parts[name] - ours.parts[name]) * weight;
      if (saved > 0 && (!most || saved > most.saved)) most = { name, neighbour, saved, ours, theirs };
    }
  }
  if (!most) return { kind: 'line' };
  const { name, neighbour, ours, theirs } = most;
  if (name === 'leaps' || name === 'rollers') {
    const kind = name === 'leaps' ? 'leap' : 'rollers';
    return { kind: 'slide', neighbour, shift: theirs.change.shifts.find((shift) => shift.kind === kind)! };
  }
  return { kind: name, neighbour, count: theirs.change.moved.length - ours.change.moved.length };
}
