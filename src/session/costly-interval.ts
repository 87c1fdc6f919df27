// Which interval costs the takes most: the worst trouble of every take that was not clean, counted by the interval
// that leads into it.

import type { Line } from '../drills/step.ts';
import type { Spelling } from '../music/pitch.ts';
import { troublePlace } from '../take/trouble-place.ts';
import type { Trouble } from '../take/verdict.ts';

/** The troubles that can be laid to one interval. Silence, a drift and the like cannot. */
const CHARGED = ['wrong', 'missed', 'extra', 'blip', 'rushed', 'dragged', 'hesitated'] as const;

export type ChargedKind = (typeof CHARGED)[number];

/** What an interval has cost so far. */
export interface IntervalCost {
  /** Passage onset numbers. */
  readonly from: number;
  readonly to: number;
  /** Its two notes as written, a chord's top note. */
  readonly notes: readonly [Spelling, Spelling];
  /** Takes by what the worst trouble was. */
  readonly kinds: Readonly<Partial<Record<ChargedKind, number>>>;
}

/** One take alone may be chance. */
const LEAST_TAKES = 2;

/** The costs with one more take. */
export function chargeInterval(
  costs: readonly IntervalCost[],
  worst: Trouble | undefined,
  line: Line,
): readonly IntervalCost[] {
  const kind = CHARGED.find((one) => one === worst?.kind);
  const into = worst && !isOfOneHand(worst) ? troublePlace(worst) : undefined;
  if (!kind || into === undefined || into < 1 || into >= line.onsets.length) return costs;
  const [first, second] = [line.onsets[into - 1]!, line.onsets[into]!];
  const old = costs.find((cost) => cost.from === first.number && cost.to === second.number);
  const charged: IntervalCost = {
    from: first.number,
    to: second.number,
    notes: [first.notes.at(-1)!.spelling, second.notes.at(-1)!.spelling],
    kinds: { ...old?.kinds, [kind]: (old?.kinds[kind] ?? 0) + 1 },
  };
  return old ? costs.map((cost) => (cost === old ? charged : cost)) : [...costs, charged];
}

/** Between the two notes of a hand's interval the other hand may have played: it is none of the passage's. */
function isOfOneHand(trouble: Trouble): boolean {
  return 'interval' in trouble && trouble.interval?.hand !== undefined;
}

/** The interval that cost most, the first of equals; undefined where none cost two takes. */
export function costliestInterval(costs: readonly IntervalCost[]): IntervalCost | undefined {
  const [first] = [...costs].sort((a, b) => takesCost(b) - takesCost(a) || a.from - b.from);
  return first && takesCost(first) >= LEAST_TAKES ? first : undefined;
}

function takesCost({ kinds }: IntervalCost): number {
  return Object.values(kinds).reduce((sum, takes) => sum + takes, 0);
}
