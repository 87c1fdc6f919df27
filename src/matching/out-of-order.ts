// A note out of order: it was added where nothing is written, and a written one of its pitch a note or two away was
// never played. It is that note, early or late. The search finds it where it is out by a moment; where it is out by a
// whole note, as hands that are not together or two exchanged neighbours are, leaving one out and adding another seem
// as likely one by one.

import type { PlayedNote } from '../music/played-note.ts';
import type { Account } from './account.ts';
import type { Timetable } from './timetable.ts';
import { entries, trailOf } from './trail.ts';

/** It belongs so many onsets before the next one at most, or so many after it. Judgement. */
const BEHIND_MOST = 3;
const AHEAD_MOST = 2;
/** And it is so far from the notes around its place at most. Judgement. */
const FARTHEST_MICROS = 500_000;

/** The account with added notes given to written ones of their pitch nearby that nobody had played. */
export function inTheirPlaces(
  account: Account,
  played: readonly PlayedNote[],
  timetable: Timetable,
): Account {
  const added = entries(account.extras);
  const fills = account.fills.slice();
  const found = new Set<number>();
  for (const { played: by, kind, before } of added) {
    if (kind !== 'extra') continue;
    const from = timetable.firstSlot[Math.max(0, before - BEHIND_MOST)]!;
    const to = timetable.firstSlot[Math.min(timetable.atMicros.length, before + AHEAD_MOST + 1)]!;
    for (let p = from; p < to; p++) {
      const { required, pitch } = timetable.slots[p]!;
      if (!required || fills[p]! >= 0 || pitch !== played[by]!.pitch || !isNear(p, by, fills, played))
        continue;
      fills[p] = by;
      found.add(by);
      break;
    }
  }
  if (found.size === 0) return account;
  return { ...account, fills, extras: trailOf(added.filter((extra) => !found.has(extra.played))) };
}

/** Whether a note was played between the notes before and after a slot's place, or not long before or after them. */
function isNear(slot: number, by: number, fills: readonly number[], played: readonly PlayedNote[]): boolean {
  const neighbour = (step: number): number | undefined => {
    for (let p = slot + step; p >= 0 && p < fills.length; p += step) {
      if (fills[p]! >= 0) return played[fills[p]!]!.onMicros;
    }
    return undefined;
  };
  const [before, after] = [neighbour(-1), neighbour(1)];
  const at = played[by]!.onMicros;
  const early = (before ?? after ?? at) - at;
  const late = at - (after ?? before ?? at);
  return Math.max(early, late) <= FARTHEST_MICROS;
}
