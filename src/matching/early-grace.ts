// A grace note belongs to the onset that it is written before, and is played shortly before it. One that was struck
// long before, or with the onset before, was none: a note was added, which happens to have a grace note's pitch.

import type { PlayedNote } from '../music/played-note.ts';
import type { ExtraNote } from './alignment.ts';
import { firstSlotAfter, type Timetable } from './timetable.ts';

/**
 * A grace note is struck no longer than this before its note; of several, each may come that much before the next one.
 * At leisure people take longer (one in twenty takes 370 ms or more in (n)ASAP): the second limit holds for a grace note
 * that stands nearer to its own note than to the onset before.
 */
const GRACE_USUAL_MICROS = 250_000;
const GRACE_MOST_MICROS = 450_000;
const NEARER_SHARE = 0.5;
/** So many small notes are a flourish, which takes its own time. */
const FLOURISH_NOTES = 4;
/**
 * What is struck within this of the onset before was struck with it, where there was time for a grace note by itself.
 */
const WITH_BEFORE_MICROS = 40_000;
const ROOM_MICROS = 200_000;

/** `fills` without the grace notes that came too early, and these as extras; where there are none, `fills` itself. */
export function withoutEarlyGraces(
  fills: readonly number[],
  played: readonly PlayedNote[],
  timetable: Timetable,
): { readonly fills: readonly number[]; readonly early: readonly ExtraNote[] } {
  const early: ExtraNote[] = [];
  let kept = fills;
  for (const slot of timetable.graceSlots) {
    const { onset, staff } = timetable.slots[slot]!;
    const graces = timetable.graceCount[onset]!;
    if (fills[slot]! < 0 || graces >= FLOURISH_NOTES) continue;
    const struck = (other: number) => firstStruck(other, { fills, played, timetable, staff });
    const atMicros = struck(onset);
    if (atMicros === undefined) continue;
    let beforeMicros: number | undefined;
    for (let o = onset - 1; o >= 0 && beforeMicros === undefined; o--) beforeMicros = struck(o);
    const { onMicros } = played[fills[slot]!]!;
    // Where it is not known whose hand it is, the onset before may be the other hand's, and still to come.
    if (staff === undefined && beforeMicros !== undefined && onMicros < beforeMicros) continue;
    if (!isTooEarly({ onMicros, graces, atMicros, beforeMicros })) continue;
    early.push({ played: fills[slot]!, kind: 'extra', before: onset });
    kept = kept.with(slot, -1);
  }
  return { fills: kept, early };
}

function isTooEarly({
  onMicros,
  graces,
  atMicros,
  beforeMicros = Number.NEGATIVE_INFINITY,
}: {
  readonly onMicros: number;
  readonly graces: number;
  /** When its onset was struck, and the one before, by the same hand. */
  readonly atMicros: number;
  readonly beforeMicros?: number | undefined;
}): boolean {
  const early = atMicros - onMicros;
  const room = atMicros - beforeMicros;
  const since = onMicros - beforeMicros;
  if (graces === 1 && since < WITH_BEFORE_MICROS && room >= ROOM_MICROS) return true;
  if (early > graces * GRACE_MOST_MICROS) return true;
  return early > graces * GRACE_USUAL_MICROS && since < NEARER_SHARE * room;
}

/** When the first required note of an onset was struck, of a staff where that is known. */
function firstStruck(
  onset: number,
  {
    fills,
    played,
    timetable,
    staff,
  }: {
    readonly fills: readonly number[];
    readonly played: readonly PlayedNote[];
    readonly timetable: Timetable;
    readonly staff: number | undefined;
  },
): number | undefined {
  let first: number | undefined;
  for (let p = timetable.firstSlot[onset]!; p < firstSlotAfter(timetable, onset); p++) {
    const slot = timetable.slots[p]!;
    if (!slot.required || fills[p]! < 0 || slot.staff !== staff) continue;
    const { onMicros } = played[fills[p]!]!;
    first = Math.min(first ?? onMicros, onMicros);
  }
  return first;
}
