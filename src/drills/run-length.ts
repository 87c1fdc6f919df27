// How much is played before a stop: the `every` of landings and chain, and one key's worth more or less of it.

import { ok, type Result } from '../problem.ts';
import { refuse } from './refusal.ts';

/** Beats a run, `bar`, or `whole`: the span without a stop. */
export type RunLength = number | 'bar' | 'whole';

/** What the player may ask for. 0.5 is one division of the beat: its half, in compound meter its third. */
export type Every = number | 'bar' | 'growing';

/** The sizes through which `growing` grows, each clean before the next. */
export const GROWING: readonly RunLength[] = [0.5, 1, 2, 4, 'whole'];

/** From most stops to fewest: what a key for more or fewer stops walks through. */
const BY_STOPS: readonly Every[] = [0.5, 1, 2, 4, 'bar'];

export function checkEvery(every: Every): Result<Every> {
  if (every === 'bar' || every === 'growing' || every === 0.5) return ok(every);
  if (Number.isInteger(every) && every >= 1 && every <= 64) return ok(every);
  return refuse(
    'every-range',
    `Cannot stop every ${every} beats: a run is half a beat, 1 to 64 whole beats, a bar, or growing`,
    'Use --every 1/2, 1, 2, 4, bar or growing.',
  );
}

/** One size shorter runs. In a bar of `perBar` beats, `bar` stands between the sizes around it. */
export function moreStops(every: Every, perBar: number): Every {
  const shorter = sizes(perBar).filter((size) => beatsOf(size, perBar) < beatsOf(every, perBar));
  return shorter.at(-1) ?? every;
}

/** One size longer runs. */
export function fewerStops(every: Every, perBar: number): Every {
  return sizes(perBar).find((size) => beatsOf(size, perBar) > beatsOf(every, perBar)) ?? every;
}

/** A run's length in a teacher's words. */
export function runLengthName(length: RunLength): string {
  if (length === 0.5) return 'half beats';
  if (length === 1) return 'beats';
  if (length === 'bar') return 'bars';
  return length === 'whole' ? 'the whole span' : `${length} beats`;
}

function sizes(perBar: number): Every[] {
  return [...BY_STOPS].sort((a, b) => beatsOf(a, perBar) - beatsOf(b, perBar));
}

/** `growing` ends at the whole span: no run is longer. */
function beatsOf(every: Every, perBar: number): number {
  if (every === 'growing') return Number.POSITIVE_INFINITY;
  return every === 'bar' ? perBar : every;
}
