// The match of a whole take when it is over: the likeliest of many hypotheses, and then some corrections.

import type { PlayedNote } from '../music/played-note.ts';
import { alignmentFrom, emptyAccount, tell } from './account.ts';
import type { Alignment } from './alignment.ts';
import { likeliestAtTheEnd } from './ending.ts';
import type { Expectation } from './expectation.ts';
import { stepsBetween } from './hypothesis.ts';
import { leftOutByClock } from './left-out.ts';
import { type MatchSoFar, searchOn } from './match-so-far.ts';
import { inOctave } from './octave.ts';
import { inTheirPlaces } from './out-of-order.ts';
import { lookAgain } from './second-look.ts';
import { unswap } from './swapped.ts';
import { timetableOf } from './timetable.ts';

/**
 * Every expected note with its verdict, every other played note with its kind. Notes may come in any order.
 * @param soFar What has been searched ahead (`alignAhead`).
 */
export function align(
  expectation: Expectation,
  played: readonly PlayedNote[],
  soFar?: MatchSoFar,
): Alignment {
  const timetable = timetableOf(expectation);
  const order = byTime(played);
  const sorted = inOctave(
    expectation,
    order.map((i) => played[i]!),
  );
  const { whole } = searchOn(soFar, sorted, timetable);
  const best = likeliestAtTheEnd(whole.shortlist, timetable);
  const told = tell(emptyAccount(timetable), stepsBetween(undefined, best), timetable);
  const corrected = timetable.singleLine
    ? unswap(told, sorted, timetable)
    : lookAgain(told, sorted, timetable);
  const account = leftOutByClock(inTheirPlaces(corrected, sorted, timetable), sorted, timetable);
  return inOrderGiven(alignmentFrom(account, sorted, timetable), order);
}

/**
 * Does some of the search while the notes are played, so that little is left when the take is over; the same `soFar`
 * comes back where there is nothing to do.
 */
export function alignAhead(
  expectation: Expectation,
  played: readonly PlayedNote[],
  soFar?: MatchSoFar,
): MatchSoFar | undefined {
  if (played.length === 0) return soFar;
  const sorted = byTime(played).map((i) => played[i]!);
  return searchOn(soFar, inOctave(expectation, sorted), timetableOf(expectation), NOTES_AT_ONCE);
}

/** So many take a millisecond or two. */
const NOTES_AT_ONCE = 8;

function byTime(played: readonly PlayedNote[]): number[] {
  return played.map((_, i) => i).sort((a, b) => played[a]!.onMicros - played[b]!.onMicros);
}

function inOrderGiven(alignment: Alignment, order: readonly number[]): Alignment {
  return {
    notes: alignment.notes.map((n) => (n.played === undefined ? n : { ...n, played: order[n.played]! })),
    extras: alignment.extras
      .map((e) => ({ ...e, played: order[e.played]! }))
      .sort((a, b) => a.played - b.played),
  };
}
