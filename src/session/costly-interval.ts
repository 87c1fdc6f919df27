// Which interval costs the takes most: the worst trouble of every take that was not clean, counted by the interval
// that leads into it.

import type { Step } from '../drills/step.ts';
import type { Trouble } from '../matching/verdict.ts';
import { expectedNames } from './names.ts';

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

/** One take is chance. */
const LEAST_TAKES = 2;

const KIND_WORDS: Partial<Record<Trouble['kind'], string>> = {
  rushed: 'rushed',
  dragged: 'dragged',
  hesitated: 'hesitated in',
  wrong: 'wrong note after',
  missed: 'missed note after',
  extra: 'added note in',
  blip: 'blip in',
};

/** The costs with one more take. Troubles that belong to no interval (silence, a drift) cost none. */
export function chargeInterval(
  costs: readonly IntervalCost[],
  worst: Trouble | undefined,
  step: Step,
): readonly IntervalCost[] {
  const into = worst && onsetAfter(worst);
  if (!worst || into === undefined || into < 1 || into >= step.onsets.length) return costs;
  const from = step.onsets[into - 1]!.number;
  const to = step.onsets[into]!.number;
  const names = expectedNames(step);
  const old = costs.find((cost) => cost.from === from && cost.to === to);
  const charged: IntervalCost = {
    from,
    to,
    names: `${names[into - 1]!.at(-1)} to ${names[into]!.at(-1)}`,
    kinds: { ...old?.kinds, [worst.kind]: (old?.kinds[worst.kind] ?? 0) + 1 },
  };
  return old ? costs.map((cost) => (cost === old ? charged : cost)) : [...costs, charged];
}

/**
 * The interval that cost most, in a sentence; undefined where none cost two takes.
 * @example costliestWords(costs) // 'Most often: rushed A#4 to B4, onset 10 (5 takes).'
 */
export function costliestWords(costs: readonly IntervalCost[]): string | undefined {
  const [first] = [...costs].sort((a, b) => takesOf(b) - takesOf(a) || a.from - b.from);
  if (!first || takesOf(first) < LEAST_TAKES) return undefined;
  const kinds = Object.entries(first.kinds).sort(([, a], [, b]) => b - a);
  const [[kind]] = kinds as [[Trouble['kind'], number]];
  const what = kinds.length === 1 ? `${KIND_WORDS[kind]} ` : '';
  const split = kinds.length === 1 ? '' : `: ${kinds.map(([name, takes]) => `${name} ${takes}`).join(', ')}`;
  return `Most often: ${what}${first.names}, onset ${first.from} (${takesOf(first)} takes${split}).`;
}

function takesOf({ kinds }: IntervalCost): number {
  return Object.values(kinds).reduce((sum, takes) => sum + takes, 0);
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
