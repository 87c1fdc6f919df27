// The interval that cost the takes most, in a sentence.

import type { IntervalCost } from '../session/costly-interval.ts';
import type { Trouble } from '../take/verdict.ts';

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
