// How much is played before a stop: the `every` of landings and chain, and one key's worth more or less of it.

import { ok, type Result } from '../problem.ts';
import { type GridBeat, isGrouped } from './beat-grid.ts';
import { refuse } from './refusal.ts';

/** Beats a run, a `group` of beats (one beat where they are not grouped), `bar`, or `whole`: the span without a stop. */
export type RunLength = number | 'group' | 'bar' | 'whole';

/** What the player may ask for. 0.5 is one division of the beat: its half, in compound meter its third. */
export type Every = number | 'group' | 'bar' | 'growing';

/** What is played before a stop where nothing is said. */
export const USUAL_EVERY = 'group';

/** The sizes through which `growing` grows, each clean before the next. */
export const GROWING: readonly RunLength[] = [0.5, 1, 2, 4, 'whole'];

/** The same where beats come in groups. */
export const GROWING_BY_GROUPS: readonly RunLength[] = [0.5, 1, 'group', 'bar', 'whole'];

/** From most stops to fewest: what a key for more or fewer stops walks through. */
const BY_STOPS: readonly Every[] = [0.5, 1, 2, 4, 'bar'];

/** The same where beats come in groups. */
const BY_STOPS_IN_GROUPS: readonly Every[] = [0.5, 1, 'group', 'bar'];

export function checkEvery(every: Every): Result<Every> {
  if (every === 'group' || every === 'bar' || every === 'growing' || every === 0.5) return ok(every);
  if (Number.isInteger(every) && every >= 1 && every <= 64) return ok(every);
  return refuse(
    'every-range',
    `Cannot stop every ${every} beats: a run is half a beat, 1 to 64 whole beats, a group, a bar, or growing`,
    'Use --every 1/2, 1, 2, 4, group, bar or growing.',
  );
}

/** One size shorter runs, in a bar like that of a beat: `group` and `bar` stand between the sizes around them. */
export function moreStops(every: Every, beat: GridBeat): Every {
  const shorter = sizes(beat).filter((size) => beatsOf(size, beat) < beatsOf(every, beat));
  return shorter.at(-1) ?? every;
}

/** One size longer runs. */
export function fewerStops(every: Every, beat: GridBeat): Every {
  return sizes(beat).find((size) => beatsOf(size, beat) > beatsOf(every, beat)) ?? every;
}

/** A run's length in a teacher's words. */
export function runLengthName(length: RunLength): string {
  if (length === 0.5) return 'half beats';
  if (length === 1) return 'beats';
  if (length === 'group') return 'groups of beats';
  if (length === 'bar') return 'bars';
  return length === 'whole' ? 'the whole span' : `${length} beats`;
}

function sizes(beat: GridBeat): Every[] {
  const known = isGrouped(beat) ? BY_STOPS_IN_GROUPS : BY_STOPS;
  return [...known].sort((a, b) => beatsOf(a, beat) - beatsOf(b, beat));
}

/** `growing` ends at the whole span: no run is longer. */
function beatsOf(every: Every, { perBar, lengths }: GridBeat): number {
  if (every === 'growing') return Number.POSITIVE_INFINITY;
  if (every === 'group') return perBar / lengths.filter(({ opensGroup }) => opensGroup).length;
  return every === 'bar' ? perBar : every;
}
