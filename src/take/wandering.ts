// Unevenness of the clock and not of the fingers: each interval strays by chance, and what it strayed by is not made up
// for. Such a take goes off step by step, like one with many short and long intervals, and no one of them is to blame.

import type { Expectation } from '../matching/expectation.ts';
import type { Moment } from './strands.ts';
import { type Straying, spreadCost } from './straying.ts';

/**
 * In natural units. One number more explains any step and any slope in part, so that much must speak for it (chosen as
 * the prices of src/take/explanation.ts are).
 */
const WANDERING_PRICE = 9.5;

interface Wandering {
  readonly straying: Straying;
  /** Onsets before which time may have stood still. */
  readonly loose: ReadonlySet<number>;
  /** The observation before the first: how far the first note stands from where the player does. Absent: unknown. */
  readonly entry?: number | undefined;
}

/** The cost of explaining nothing but by a clock that wanders; without bound where two hands play, who have two. */
export function wanderingCost(
  { pulse }: Expectation,
  moments: readonly Moment[],
  { straying, loose, entry }: Wandering,
): number {
  if (moments.some(({ hand }) => hand !== undefined)) return Number.POSITIVE_INFINITY;
  const steps: { readonly asked: number; readonly by: number }[] = [];
  for (const [i, here] of moments.entries()) {
    const before = moments[i - 1];
    if (!before || loose.has(here.onset)) continue;
    const asked = here.askedMicros - before.askedMicros;
    steps.push({ asked, by: here.atMicros - before.atMicros - asked });
  }
  const squares = steps.reduce((sum, { asked }) => sum + asked * asked, 0);
  const fitsPace = pulse === 'free' && squares > 0;
  const slope = fitsPace ? steps.reduce((sum, { asked, by }) => sum + asked * by, 0) / squares : 0;
  const off = steps.map(({ asked, by }) => by - slope * asked);
  if (entry !== undefined) off.push(entry);
  const rest = off.reduce((sum, by) => sum + by * by, 0);
  const cost = spreadCost(straying.uneven, rest, off.length - (fitsPace ? 1 : 0));
  return WANDERING_PRICE + cost + (fitsPace ? 0.5 * Math.log(squares) : 0);
}
