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
  /** From when on it is missing; that is told before it is too late to come. */
  readonly missingMicros: number;
}

export const NONE_LEFT: readonly LeftBehind[] = [];

/** A note of a chord or of the other hand comes within this time or not at all. Judgement. */
export const LATE_CHORD_MICROS = 200_000;

/**
 * A note is missing when it is so late, and so long after the note that passed it over: it may still come, but hardly
 * ever does. Fitted (README.md).
 */
const MISSING_MICROS = 100_000;
const MISSING_SINCE_MICROS = 75_000;

/** From when on a note is missing that was due then and was passed over by a note then. */
export function missingFrom(dueMicros: number, passedMicros: number): number {
  return Math.max(dueMicros + MISSING_MICROS, passedMicros + MISSING_SINCE_MICROS);
}

/** Until when it may come. */
function untilMicros({ dueMicros }: LeftBehind): number {
  return dueMicros + LATE_CHORD_MICROS;
}

function isTooLate(one: LeftBehind, nowMicros: number): boolean {
  return nowMicros > untilMicros(one);
}

function missingAtMicros(one: LeftBehind): number {
  return Math.round(Math.min(one.missingMicros, untilMicros(one))) + 1;
}

/** What it costs that it has not come by now. */
export function chargeOf(one: LeftBehind, nowMicros: number): number {
  const late = nowMicros - one.dueMicros;
  if (late <= 0) return 0;
  return isTooLate(one, nowMicros) ? one.price : Math.min(one.price, chordSurprise(late));
}

/** When the first of them is too late to come; Infinity without any. */
export function tooLateMicros(left: readonly LeftBehind[]): number {
  let first = Number.POSITIVE_INFINITY;
  for (const one of left) first = Math.min(first, Math.round(untilMicros(one)) + 1);
  return first;
}

/** One of them that is missing by now. */
export function missingBy(left: readonly LeftBehind[], nowMicros: number): LeftBehind | undefined {
  return left.find((one) => missingAtMicros(one) <= nowMicros);
}

/** When the next of them is missing, after a moment; Infinity without any. */
export function nextMissingMicros(left: readonly LeftBehind[], afterMicros: number): number {
  let first = Number.POSITIVE_INFINITY;
  for (const one of left) {
    const atMicros = missingAtMicros(one);
    if (atMicros > afterMicros && atMicros < first) first = atMicros;
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
