// The match of a whole take when it is over: the likeliest of many hypotheses, and then some corrections.

import type { PlayedNote } from '../music/played-note.ts';
import { alignmentFrom, emptyAccount, tell } from './account.ts';
import type { Alignment } from './alignment.ts';
import { likeliestAtTheEnd } from './ending.ts';
import { HINDSIGHT } from './evidence.ts';
import type { Expectation } from './expectation.ts';
import { type Hypothesis, startHypothesis, stepsBetween } from './hypothesis.ts';
import { inOctave } from './octave.ts';
import { openingPace } from './opening-pace.ts';
import { inTheirPlaces } from './out-of-order.ts';
import { lookAgain } from './second-look.ts';
import { nextShortlist, type Shortlist } from './shortlist.ts';
import { unswap } from './swapped.ts';
import { type Timetable, timetableOf } from './timetable.ts';
import { turnsByClock } from './turns.ts';

/** Long enough that going back with two slips stays on the list. First data. */
const SIZE = { width: 40, perOnset: 2, depth: 26, scouts: 60, jumps: HINDSIGHT };

/** So many notes are enough to find the pace of the beginning. Judgement. */
const OPENING_NOTES = 100;

/**
 * Notes times hypotheses: a recording of hours is matched with fewer hypotheses, so that it does not take for ever.
 * Judgement.
 */
const HYPOTHESES_MOST = 400_000;
const WIDTH_LEAST = 6;

/** Every expected note with its verdict, every other played note with its kind. Notes may come in any order. */
export function align(expectation: Expectation, played: readonly PlayedNote[]): Alignment {
  const timetable = timetableOf(expectation);
  const order = played.map((_, i) => i).sort((a, b) => played[a]!.onMicros - played[b]!.onMicros);
  const sorted = inOctave(
    expectation,
    order.map((i) => played[i]!),
  );
  const first = likeliest(startHypothesis(), sorted.slice(0, OPENING_NOTES), timetable);
  // Now that the pace of the beginning is known, all is matched again.
  const best = likeliest(openingPace(first, timetable), sorted, timetable);
  const told = tell(emptyAccount(timetable), stepsBetween(undefined, best), timetable);
  const corrected = timetable.singleLine
    ? unswap(told, sorted, timetable)
    : lookAgain(told, sorted, timetable);
  const account = turnsByClock(inTheirPlaces(corrected, sorted, timetable), sorted, timetable);
  return inOrderGiven(alignmentFrom(account, sorted, timetable), order);
}

function likeliest(start: Hypothesis, played: readonly PlayedNote[], timetable: Timetable): Hypothesis {
  const width = Math.max(WIDTH_LEAST, Math.min(SIZE.width, Math.floor(HYPOTHESES_MOST / played.length)));
  const size = { ...SIZE, width };
  let shortlist: Shortlist = [start];
  for (const i of played.keys()) shortlist = nextShortlist(shortlist, played, i, timetable, size);
  return likeliestAtTheEnd(shortlist, timetable);
}

function inOrderGiven(alignment: Alignment, order: readonly number[]): Alignment {
  return {
    notes: alignment.notes.map((n) => (n.played === undefined ? n : { ...n, played: order[n.played]! })),
    extras: alignment.extras
      .map((e) => ({ ...e, played: order[e.played]! }))
      .sort((a, b) => a.played - b.played),
  };
}
