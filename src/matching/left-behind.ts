// Notes that were passed over and may still come, because a chord is spread or one hand is behind the other. Such a
// note costs what its lateness costs, or what leaving it out costs if it never comes. It is at least as late as the
// time that has passed since it was due, so that much is charged at once, and more as the time goes on.

import { chordSurprise } from './evidence.ts';

export interface LeftBehind {
  /** Index into the timetable's slots. */
  readonly slot: number;
  /** What it costs if it never comes. */
  readonly price: number;
  /** When it should have been played. */
  readonly dueMicros: number;
}

export const NONE_LEFT: readonly LeftBehind[] = [];

/** A note of a chord or of the other hand comes within this time or not at all. Judgement. */
export const LATE_CHORD_MICROS = 200_000;

function isTooLate({ dueMicros }: LeftBehind, nowMicros: number): boolean {
  return nowMicros - dueMicros > LATE_CHORD_MICROS;
}

/** What it costs that it has not come by now. */
export function chargeOf(one: LeftBehind, nowMicros: number): number {
  const late = nowMicros - one.dueMicros;
  if (late <= 0) return 0;
  return isTooLate(one, nowMicros) ? one.price : Math.min(one.price, chordSurprise(late));
}

/** When the first of them is too late to come, of those that are not by then; Infinity without any. */
export function tooLateMicros(left: readonly LeftBehind[], thenMicros = Number.NEGATIVE_INFINITY): number {
  let first = Number.POSITIVE_INFINITY;
  for (const { dueMicros } of left) {
    const atMicros = Math.round(dueMicros) + LATE_CHORD_MICROS + 1;
    if (atMicros > thenMicros && atMicros < first) first = atMicros;
  }
  return first;
}

export interface Charges {
  /** What those cost that will not come any more. */
  readonly price: number;
  /** What those cost so far that may still come. */
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
