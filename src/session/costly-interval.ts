// Which interval costs the takes most: the worst trouble of every take that was not clean, counted by the interval
// that leads into it.

import type { Line } from '../drills/step.ts';
import type { Trouble } from '../take/verdict.ts';
import { expectedNames } from '../wording/note-names.ts';

/** What an interval has cost so far. */
export interface IntervalCost {
  /** Passage onset numbers. */
  readonly from: number;
  readonly to: number;
  /** Written names, a chord's top note: "A#4 to B4". */
  readonly names: string;
  /** Takes by what the worst trouble was. */
  readonly kinds: Readonly<Record<string, number>>;
}

/** The costs with one more take. Troubles that belong to no interval (silence, a drift) cost none. */
export function chargeInterval(
  costs: readonly IntervalCost[],
  worst: Trouble | undefined,
  line: Line,
): readonly IntervalCost[] {
  const into = worst && onsetAfter(worst);
  if (!worst || into === undefined || into < 1 || into >= line.onsets.length) return costs;
  const from = line.onsets[into - 1]!.number;
  const to = line.onsets[into]!.number;
  const names = expectedNames(line);
  const old = costs.find((cost) => cost.from === from && cost.to === to);
  const charged: IntervalCost = {
    from,
    to,
    names: `${names[into - 1]!.at(-1)} to ${names[into]!.at(-1)}`,
    kinds: { ...old?.kinds, [worst.kind]: (old?.kinds[worst.kind] ?? 0) + 1 },
  };
  return old ? costs.map((cost) => (cost === old ? charged : cost)) : [...costs, charged];
}

/** Index of the onset that the trouble's interval leads into. */
function onsetAfter(trouble: Trouble): number | undefined {
  switch (trouble.kind) {
    case 'wrong':
    case 'missed':
      return trouble.onset;
    case 'extra':
    case 'blip':
      return trouble.before;
    case 'rushed':
    case 'dragged':
    case 'hesitated':
      return trouble.interval.to;
    default:
      return undefined;
  }
}
