// What each thing in a take costs a hypothesis: its surprise, the negative natural logarithm of how likely it is. Only
// differences between costs matter. Each constant says where it comes from:
// - judgement: how often people do such a thing, roughly;
// - first data: judgement that was changed while looking at the results on the first data (see README.md);
// - fitted: several values were tried on the wide data, and the best was kept.

/**
 * A player at work on a hard line leaves out one note in some 150 (e^5) and adds one in some 100 (e^4.6). Judgement.
 */
export const MISSED = 5;
export const EXTRA = 4.6;
/** Notes left out one after another (a lost beat) are one slip: each further one costs half. Judgement. */
export const MISSED_MORE = 2.5;
/** A few turns left out of a written-out trill or tremolo, however many: nobody counts them. */
export const TURNS_LEFT_OUT = 2.5;
/** Surprise at going on somewhere else in the music. */
export interface Jumps {
  /** The most that notes passed over cost together: the player lost the place and went on a little later. */
  readonly lostPlace: number;
  /** Added for each doubling of the notes passed over, from `LOST_NEAR` notes on. */
  readonly lostFarther: number;
  /** Added when the player goes back without a pause. */
  readonly wentBackAtOnce: number;
  /** Whether each hand keeps its own time (passed-over.ts). */
  readonly handsApart: boolean;
}
/**
 * When the take is over, a lost place can cost as much as three slips: if the player did go on elsewhere, all the notes
 * that follow will show it. First data.
 */
export const HINDSIGHT: Jumps = { lostPlace: 15, lostFarther: 0, wentBackAtOnce: 3, handsApart: false };
/**
 * While it is played, a lost place must be found again after a few notes, so it costs less (first data). But a few
 * notes do not prove that the player went back without a pause (first data) or far ahead (`lostFarther`: fitted): music
 * repeats itself, and a wrong chord is often the right one of another bar.
 */
export const FOLLOWING: Jumps = { lostPlace: 8.5, lostFarther: 2, wentBackAtOnce: 7, handsApart: true };
/** Surprise at two hands that strike together, the one first whose note is written later: one time in seven. Fitted. */
export const HANDS_CROSSED = 2;
/** Up to so many notes passed over, the place is lost nearby. Judgement. */
const LOST_NEAR = 4;
/** Surprise at `count` notes of so many onsets passed over by one jump: a chord left out is one slip. */
export function missedSurprise(
  { count, onsets }: { readonly count: number; readonly onsets: number },
  { lostPlace, lostFarther }: Jumps,
): number {
  if (count === 0) return 0;
  const chords = Math.min(count, onsets);
  const farther = count > LOST_NEAR ? lostFarther * Math.log2(count / LOST_NEAR) : 0;
  const each = MISSED + (chords - 1) * MISSED_MORE + (count - chords) * UNFINISHED_MORE;
  return Math.min(each, lostPlace + farther);
}
/** An unfinished chord is one slip, however many of its notes are lacking: each further one adds this. Fitted. */
const UNFINISHED_MORE = 1;
/** Surprise at `count` lacking notes of a chord of which others were played. */
export function unfinishedSurprise(count: number): number {
  return count === 0 ? 0 : MISSED + (count - 1) * UNFINISHED_MORE;
}
/**
 * Most wrong notes are a semitone, a whole tone or an octave away; any other pitch is likely no slip of this note.
 * Judgement.
 */
const WRONG_NEAR = 4.2;
const WRONG_FAR = 6.2;
/** A misread chord is one slip with several notes: each further one costs half. Judgement. */
export const WRONG_MORE = 2.5;
/**
 * Breaking off is one event, however many notes were left (first data). Near the end each of them adds a little, up to
 * `NOT_REACHED_MOST` of them (judgement).
 */
const BROKE_OFF = 3.5;
const NOT_REACHED = 0.1;
const NOT_REACHED_MOST = 10;
/** Surprise at a take that left the last `count` notes unplayed. */
export function brokenOffSurprise(count: number): number {
  return count === 0 ? 0 : BROKE_OFF + Math.min(count, NOT_REACHED_MOST) * NOT_REACHED;
}
/** A grace note that is played, and an added note of a written ornament. First data. */
export const GRACE = 0.4;
export const ORNAMENT = 1.2;
/** Once an ornament has begun, more of it is less of a surprise. First data. */
export const ORNAMENT_AGAIN = 0.6;
/**
 * Added for a note of an ornament, or an added one, that could have been the next onset. Without it a hypothesis could
 * take note after note for the ornament and come late to the next onset at no cost, and of a note struck twice the
 * second would as often be the right one. Fitted (0, 1, 2 tried for added notes).
 */
export const NEXT_PASSED_BY = 2;
/** Going back. First data. */
export const WENT_BACK = 5;
/** Going back after a slip and a pause: about as usual as going on. First data. */
export const WENT_BACK_FROM_SLIP = 3;
/** Added each time the way back doubles: twice as far is about two thirds as usual (e^-0.5 = 0.6). First data. */
const FARTHER = 0.5;
/**
 * Added for each onset that going back gives up (fitted). They had all been played as written; so where a theme comes
 * back later in the music, it is likelier that the player has reached it there than that everything since was a failed
 * try. At most `GIVEN_UP_MOST`, so that going back from far on is believed in the end (judgement).
 */
const GIVEN_UP = 0.2;
const GIVEN_UP_MOST = 60;
/** Surprise at going so many onsets back, besides that of going back at all. */
export function fartherBackSurprise(onsets: number): number {
  return FARTHER * Math.log2(1 + onsets) + Math.min(GIVEN_UP * onsets, GIVEN_UP_MOST);
}
/**
 * The slip changed the time as well (the time of a skipped note is left out too): one slip in three (e^-1). Judgement.
 */
export const SHIFTED = 1;

/**
 * What took less than this share of its usual time was cut short: with the notes that are lacking their time was left out
 * too. Judgement.
 */
export const CUT_SHORT = 0.75;

/**
 * Uneven playing: standard deviation as a share of the interval, and the least it can be, for fingers and driver.
 * Judgement; in (n)ASAP half of the intervals are off by 6 % or more, one in ten by 20 % or more (README.md).
 */
const UNEVEN_SHARE = 0.11;
const UNEVEN_FLOOR_MICROS = 14_000;
/**
 * The least where a note may be of the other hand than the one before: hands are up to some 30 ms apart. First data.
 */
const UNEVEN_HANDS_MICROS = 30_000;
/**
 * Standard deviation of the notes of a chord, between that of one hand (some 10 ms) and that of two (some 30 ms). First
 * data; in (n)ASAP the spread of a chord is 10 ms in the median, 29 ms or more in one of ten.
 */
const CHORD_MICROS = 24_000;
/**
 * The most that a late note costs, however late: people hesitate so often that a late but right note must be believed
 * at once (first data). A note that is far too early is rarer (judgement).
 */
export const LATE_MOST = 2.4;
const EARLY_MOST = 6;
/**
 * The most that a chord's note costs that comes when the next onset is due already and has not come: less than leaving
 * it out. Judgement.
 */
export const LATE_ALONE_MOST = 4;

/**
 * Surprise at an interval that should have taken `expected` and took `played` (microseconds), where the pace is
 * uncertain by `paceSd` (a share of it). Student's t with three degrees of freedom, so that a large deviation does not
 * cost too much, and bounded, because a hesitation is always possible.
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
/** Variance of the change of pace (its logarithm) from one interval to the next: some 3 %. Judgement. */
export const PACE_WANDER = 0.03 * 0.03;
/** Variance before anything is known: 0.4 to 2.5 times the tempo asked is within two standard deviations. Judgement. */
export const PACE_PRIOR = 0.45 * 0.45;
