// What speaks for and against a hypothesis of a take, in one currency: the negative logarithm of how likely it is
// (natural units, smaller = likelier). Only differences count. Every constant has its reason beside it. They are
// judgement, orders of magnitude of how people play, but for those marked as fitted (on the wide data of README.md).

/** One note in some 150 is left out, added or struck wrong by a player at work on a hard line. */
export const MISSED = 5;
export const EXTRA = 4.6;
/** A note left out with the next ones (a lost beat) is one slip, not several: half the price each. */
export const MISSED_MORE = 2.5;
/** Surprise at going on somewhere else in the music. */
export interface Jumps {
  /** Losing the place and going on a little later is one event. */
  readonly lostPlace: number;
  /** Added for each doubling of the notes passed over, beyond `LOST_NEAR` of them (fitted). */
  readonly lostFarther: number;
  /** Added when the player goes back without a breath. */
  readonly wentBackAtOnce: number;
}
/**
 * With hindsight a lost place may be as rare as three slips in a row, for all that follows will show it, and so it will
 * a going back.
 */
export const HINDSIGHT: Jumps = { lostPlace: 15, lostFarther: 0, wentBackAtOnce: 3 };
/**
 * A follower must find a lost place again after a few notes. On the strength of a few notes it must not believe that
 * somebody went back in tempo, or on to a place far ahead: music repeats itself, and a wrong chord is often one that
 * stands elsewhere.
 */
export const FOLLOWING: Jumps = { lostPlace: 8.5, lostFarther: 2, wentBackAtOnce: 7 };
/** So many notes passed over are a place lost nearby. */
const LOST_NEAR = 4;
/** Surprise at `count` notes passed over by one jump. */
export function missedSurprise(count: number, { lostPlace, lostFarther }: Jumps): number {
  if (count === 0) return 0;
  const farther = count > LOST_NEAR ? lostFarther * Math.log2(count / LOST_NEAR) : 0;
  return Math.min(MISSED + (count - 1) * MISSED_MORE, lostPlace + farther);
}
/** Leaving a chord unfinished is one slip, however many of its notes are lacking: little more for each further one (fitted). */
const UNFINISHED_MORE = 1;
/** Surprise at `count` lacking notes of a chord of which others were played. */
export function unfinishedSurprise(count: number): number {
  return count === 0 ? 0 : MISSED + (count - 1) * UNFINISHED_MORE;
}
/** Slips by a semitone, a step or an octave are the usual ones; any other pitch is likelier something else. */
export const WRONG_NEAR = 4.2;
export const WRONG_FAR = 6.2;
/** A chord misread is one slip with several notes: half the price for each further one. */
export const WRONG_MORE = 2.5;
/** Breaking off before the end is one event, however many notes were left; near the end each of them tells. */
const BROKE_OFF = 3.5;
const NOT_REACHED = 0.1;
const NOT_REACHED_MOST = 10;
/** Surprise at a take that left the last `count` notes unplayed. */
export function brokenOffSurprise(count: number): number {
  return count === 0 ? 0 : BROKE_OFF + Math.min(count, NOT_REACHED_MOST) * NOT_REACHED;
}
/** An optional note played, and an added note of a written ornament. */
export const GRACE = 0.4;
export const ORNAMENT = 1.2;
/** Once an ornament has begun, more of it is no surprise. */
export const ORNAMENT_AGAIN = 0.6;
/** More for each ornament's note that could have been the next onset: else it would cost nothing to come to it late. */
export const NEXT_PASSED_BY = 2;
/** Going back: about as rare as a slip and a half; the pause before it is evidence of its own. */
export const WENT_BACK = 5;
/** After a slip and a stop it is about as usual to go back as to go on. */
export const WENT_BACK_FROM_SLIP = 3;
/** Twice as far back is half as usual (per doubling). */
const FARTHER = 0.5;
/**
 * What is given up was explained, note by note, and must be explained away: a theme that comes back later in the music
 * is no going back to the beginning. Bounded, so that going back from far on is believed in the end.
 * Fitted.
 */
const GIVEN_UP = 0.2;
const GIVEN_UP_MOST = 60;
/** Surprise at going so many onsets back, besides that of going back at all. */
export function fartherBackSurprise(onsets: number): number {
  return FARTHER * Math.log2(1 + onsets) + Math.min(GIVEN_UP * onsets, GIVEN_UP_MOST);
}
/** The time shifted with the slip (a skipped note's time skipped, an added note's time added): one slip in three. */
export const SHIFTED = 1;

/** Uneven playing: share of an interval (one standard deviation) and a floor for fingers and driver. */
const UNEVEN_SHARE = 0.11;
const UNEVEN_FLOOR_MICROS = 14_000;
/** The same floor where a note may be of the other hand than the one before it: hands are some 30 ms apart. */
const UNEVEN_HANDS_MICROS = 30_000;
/** Chord notes of one hand stand within some 10 ms, hands within some 30 ms (one standard deviation): between them. */
const CHORD_MICROS = 24_000;
/** However late: a hesitation, common enough that a late but right note is believed at once. However early: rarer. */
export const LATE_MOST = 2.4;
const EARLY_MOST = 6;

/**
 * Surprise at an interval that should have taken `expected` and took `played` (microseconds), the pace being
 * uncertain by `paceSd` (share), in a single line or with two hands. Heavy-tailed (Student's t with three degrees of
 * freedom), bounded: a hesitation is always possible.
 */
export function intervalSurprise(
  played: number,
  expected: number,
  { paceSd, singleLine }: { readonly paceSd: number; readonly singleLine: boolean },
): number {
  const floor = singleLine ? UNEVEN_FLOOR_MICROS : UNEVEN_HANDS_MICROS;
  const share = expected * UNEVEN_SHARE;
  const pace = expected * paceSd;
  const variance = floor * floor + share * share + pace * pace;
  const d = played - expected;
  const surprise = 2 * Math.log(1 + (d * d) / (3 * variance));
  return Math.min(surprise, d > 0 ? LATE_MOST : EARLY_MOST);
}

/** Surprise at a chord note that stands `apart` microseconds from the chord's time. */
export function chordSurprise(apart: number): number {
  return 2 * Math.log(1 + (apart * apart) / (3 * CHORD_MICROS * CHORD_MICROS));
}

export function wrongPitchSurprise(expected: number, played: number): number {
  const apart = Math.abs(expected - played);
  return apart <= 2 || apart === 12 ? WRONG_NEAR : WRONG_FAR;
}
/** Variance of one observation of the logarithm of the pace. */
export function paceNoise(expected: number): number {
  const floor = UNEVEN_FLOOR_MICROS / expected;
  return UNEVEN_SHARE * UNEVEN_SHARE + floor * floor;
}
/** How far the pace wanders from one interval to the next (variance of its logarithm): some 3 %. */
export const PACE_WANDER = 0.03 * 0.03;
/** Before anything is known: 0.4 to 2 times the tempo asked lies within two standard deviations. */
export const PACE_PRIOR = 0.45 * 0.45;
