// Notes that the player has gone past unplayed and may still play: a chord is spread, one hand lags behind the other.
// Such a note will cost what its lateness costs, or, in the end, what leaving it out costs. How late it will be nobody
// knows, but it is as late already as the time that has passed, so that much is charged, and more as the time goes on.

import { chordSurprise } from './evidence.ts';

export interface LeftBehind {
  /** Index into the timetable's slots. */
  readonly slot: number;
  /** Surprise at its never being played. */
  readonly price: number;
  /** When it should have been played. */
  readonly dueMicros: number;
}

export const NONE_LEFT: readonly LeftBehind[] = [];

/** Chord notes and hands stand at most so far apart to count as one moment; what is later will not come. */
export const LATE_CHORD_MICROS = 200_000;

function isTooLate({ dueMicros }: LeftBehind, nowMicros: number): boolean {
  return nowMicros - dueMicros > LATE_CHORD_MICROS;
}

/** Surprise at its not having been played by now. */
export function chargeOf(one: LeftBehind, nowMicros: number): number {
  const late = nowMicros - one.dueMicros;
  if (late <= 0) return 0;
  return isTooLate(one, nowMicros) ? one.price : Math.min(one.price, chordSurprise(late));
}

/** When the first of them is too late to come; Infinity without any. */
export function tooLateMicros(left: readonly LeftBehind[]): number {
  let first = Number.POSITIVE_INFINITY;
  for (const { dueMicros } of left) first = Math.min(first, Math.round(dueMicros) + LATE_CHORD_MICROS + 1);
  return first;
}

export interface Charges {
  /** Surprise at those that will not come any more. */
  readonly price: number;
  /** Surprise so far at those that may. */
  readonly pending: number;
  /** Those that may. */
  readonly open: readonly LeftBehind[];
}

export function chargesOf(left: readonly LeftBehind[], nowMicros: number): Charges {
  let price = 0;
  let pending = 0;
  let gone = 0;
  for (const one of left) {
    const charge = chargeOf(one, nowMicros);
    if (isTooLate(one, nowMicros)) {
      price += charge;
      gone++;
    } else pending += charge;
  }
  if (gone === 0) return { price, pending, open: left };
  if (gone === left.length) return { price, pending, open: NONE_LEFT };
  return { price, pending, open: left.filter((one) => !isTooLate(one, nowMicros)) };
}

/** What is still to be charged when none of them comes. */
export function unpaid(left: readonly LeftBehind[], pending: number): number {
  return left.reduce((sum, { price }) => sum + price, 0) - pending;
}
