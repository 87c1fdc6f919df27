// How far the search through a take has come, so that it can be done while the take is played and goes on from there
// with the notes that came since. It changes nothing in what comes out: what does not fit any more is searched again.

import type { PlayedNote } from '../music/played-note.ts';
import { likeliestAtTheEnd } from './ending.ts';
import { HINDSIGHT } from './evidence.ts';
import { type Hypothesis, startHypothesis } from './hypothesis.ts';
import { OPENING_INTERVALS, openingPace } from './opening-pace.ts';
import { nextShortlist, type Shortlist, type ShortlistSize } from './shortlist.ts';
import type { Timetable } from './timetable.ts';

/** Long enough that going back with two slips stays on the list. First data. */
const SIZE = { width: 40, perOnset: 2, depth: 26, scouts: 60, jumps: HINDSIGHT, keepsDoubt: false };

/** So many notes are enough to find the pace of the beginning. Judgement. */
const OPENING_NOTES = 100;

/**
 * Notes times hypotheses: a recording of hours is matched with fewer hypotheses, so that it does not take for ever.
 * Judgement.
 */
const HYPOTHESES_MOST = 400_000;
const WIDTH_LEAST = 6;

/** From fewer notes the pace of the beginning changes with each note more: too soon to go by it. Judgement. */
const PACE_KNOWN_NOTES = 2 * OPENING_INTERVALS;

export interface MatchSoFar {
  /** By time. */
  readonly notes: readonly PlayedNote[];
  readonly width: number;
  /** Through the first notes, at a pace that is not known. */
  readonly opening: Search;
  /** Through all of them, at the pace with which they begin. */
  readonly whole: Search;
}

interface Search {
  readonly start: Hypothesis;
  /** After so many notes. */
  readonly shortlist: Shortlist;
  readonly count: number;
}

/**
 * Searches on, from `before` where that still holds; the same `before` comes back when there is nothing to do.
 * @param notes All that have been played, by time.
 * @param most Notes at most, where it is done ahead.
 */
export function searchOn(
  before: MatchSoFar | undefined,
  notes: readonly PlayedNote[],
  timetable: Timetable,
  most = Number.POSITIVE_INFINITY,
): MatchSoFar {
  const width = Math.max(WIDTH_LEAST, Math.min(SIZE.width, Math.floor(HYPOTHESES_MOST / notes.length)));
  const kept = before?.width === width && holds(before, notes) ? before : undefined;
  const { opening, whole } = kept ?? UNSEARCHED;
  const openingNotes = Math.min(notes.length, OPENING_NOTES);
  const openedUntil = Math.min(openingNotes, opening.count + most);
  const opened = searchedThrough(opening, notes, openedUntil, { timetable, size: SIZE });
  const left = most - (opened.count - opening.count);
  const tooSoon = opened.count < openingNotes || notes.length < PACE_KNOWN_NOTES;
  if (Number.isFinite(most) && tooSoon)
    return kept && opened.count === opening.count ? kept : { notes, width, opening: opened, whole };
  // Now that the pace of the beginning is known, all is matched again.
  const start = openingPace(likeliestAtTheEnd(opened.shortlist, timetable), timetable);
  const begun = isSameStart(start, whole.start) ? whole : searchFrom(start);
  const until = Math.min(notes.length, begun.count + left);
  const isSame = opened.count === opening.count && begun === whole && until === whole.count;
  if (kept && isSame) return kept;
  const searched = searchedThrough(begun, notes, until, { timetable, size: { ...SIZE, width } });
  return { notes, width, opening: opened, whole: searched };
}

function searchFrom(start: Hypothesis): Search {
  return { start, shortlist: [start], count: 0 };
}

const UNSEARCHED = { opening: searchFrom(startHypothesis()), whole: searchFrom(startHypothesis()) };

function isSameStart(one: Hypothesis, other: Hypothesis): boolean {
  return one.logPace === other.logPace && one.paceVariance === other.paceVariance;
}

/** What has been searched through are the first of these notes. */
function holds({ notes: before, opening, whole }: MatchSoFar, notes: readonly PlayedNote[]): boolean {
  const count = Math.max(opening.count, whole.count);
  if (count > notes.length) return false;
  for (let i = 0; i < count; i++) {
    if (before[i]!.onMicros !== notes[i]!.onMicros || before[i]!.pitch !== notes[i]!.pitch) return false;
  }
  return true;
}

function searchedThrough(
  { start, shortlist: before, count }: Search,
  notes: readonly PlayedNote[],
  until: number,
  { timetable, size }: { readonly timetable: Timetable; readonly size: ShortlistSize },
): Search {
  let shortlist = before;
  for (let i = count; i < until; i++) shortlist = nextShortlist(shortlist, notes, i, timetable, size);
  return { start, shortlist, count: until };
}
