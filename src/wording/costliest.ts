// The interval that cost the takes most, in a sentence.

import { spellingName } from '../music/pitch.ts';
import type { ChargedKind, IntervalCost } from '../session/costly-interval.ts';

const KIND_WORDS: Readonly<Record<ChargedKind, string>> = {
  rushed: 'rushed',
  dragged: 'dragged',
  hesitated: 'hesitated in',
  wrong: 'wrong note after',
  missed: 'missed note after',
  extra: 'added note in',
  blip: 'blip in',
};

/** @example costliestWords(cost) // 'Most often: rushed A#4 to B4, onset 10 (5 takes).' */
export function costliestWords({ from, notes, kinds }: IntervalCost): string {
  const costs = (Object.entries(kinds) as [ChargedKind, number][]).sort(([, a], [, b]) => b - a);
  const takes = costs.reduce((sum, [, cost]) => sum + cost, 0);
  const only = costs.length === 1 ? `${KIND_WORDS[costs[0]![0]]} ` : '';
  const split = costs.length === 1 ? '' : `: ${costs.map((one) => one.join(' ')).join(', ')}`;
  const interval = notes.map(spellingName).join(' to ');
  return `Most often: ${only}${interval}, onset ${from} (${takes} takes${split}).`;
}
