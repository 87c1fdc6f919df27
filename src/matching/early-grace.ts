// A grace note belongs to the onset that it is written before, and is played shortly before it. One that was struck
// long before, or with the onset before, was none: a note was added, which happens to have a grace note's pitch, or a
// trill before it goes on.

import { isOrnamentPitch } from '../music/onset.ts';
import type { PlayedNote } from '../music/played-note.ts';
import type { ExtraNote } from './alignment.ts';
import { firstSlotAfter, type Timetable } from './timetable.ts';

/**
 * A grace note is struck no longer than this before its note; of several, each may come that much before the next one.
 * At leisure people take longer (one in twenty takes 370 ms or more in (n)ASAP): the second limit holds for a grace note
 * that stands nearer to its own note than to the onset before.
 */
export const GRACE_USUAL_MICROS = 250_000;
const GRACE_MOST_MICROS = 450_000;
const NEARER_SHARE = 0.5;
/** So many small notes are a flourish, which takes its own time. */
const FLOURISH_NOTES = 4;
/**
 * What is struck within this of the onset before was struck with it, where there was time for a grace note by itself.
 */
const WITH_BEFORE_MICROS = 40_000;
const ROOM_MICROS = 200_000;
/**
 * Where the player waited for it, it may come as early as it likes: the interval in which it stands is longer than the
 * ones around it by at least this share of the time from the grace note to its note. Judgement.
 */
const WAITED_SHARE = 0.25;

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
    const { onMicros, pitch } = played[fills[slot]!]!;
    if (waitedFor(onset, atMicros - onMicros, { struck, timetable })) continue;
    // Where it is not known whose hand it is, the onset before may be the other hand's, and still to come.
    if (staff === undefined && beforeMicros !== undefined && onMicros < beforeMicros) continue;
    if (!isTooEarly({ onMicros, graces, atMicros, beforeMicros })) continue;
    const goesOn = (timetable.ornamentsAt[onset - 1] ?? []).some((ornamented) =>
      isOrnamentPitch(timetable.slots[ornamented]!.pitch, pitch),
    );
    early.push({ played: fills[slot]!, kind: goesOn ? 'ornament' : 'extra', before: onset });
    kept = kept.with(slot, -1);
  }
  return { fills: kept, early };
}

/** Whether the interval before an onset is so much longer than its neighbours that the player waited in it. */
function waitedFor(
  onset: number,
  early: number,
  {
    struck,
    timetable,
  }: { readonly struck: (onset: number) => number | undefined; readonly timetable: Timetable },
): boolean {
  const neighbour = (from: number, step: number): number | undefined => {
    for (let o = from + step; o >= 0 && o < timetable.atMicros.length; o += step)
      if (struck(o) !== undefined) return o;
    return undefined;
  };
  const before = neighbour(onset, -1);
  if (before === undefined) return false;
  const pairs = [
    [neighbour(before, -1), before],
    [onset, neighbour(onset, 1)],
  ];
  let [took, asked] = [0, 0];
  for (const [a, b] of pairs) {
    if (a === undefined || b === undefined) continue;
    took += struck(b)! - struck(a)!;
    asked += timetable.atMicros[b]! - timetable.atMicros[a]!;
  }
  if (asked === 0) return false;
  const usual = ((timetable.atMicros[onset]! - timetable.atMicros[before]!) / asked) * took;
  return struck(onset)! - struck(before)! - usual > WAITED_SHARE * early;
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
