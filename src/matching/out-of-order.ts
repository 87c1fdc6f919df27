// A note out of order: it was added where nothing is written, or stands as a wrong note, and a written one of its pitch
// a note or two away was never played rightly. It is that note, early or late. The search finds it where it is out by a
// moment; where it is out by a whole note, as hands that are not together or two exchanged neighbours are, leaving one
// out and adding another, or two wrong notes, seem as likely one by one.

import type { PlayedNote } from '../music/played-note.ts';
import type { Account } from './account.ts';
import type { ExtraNote } from './alignment.ts';
import type { Timetable } from './timetable.ts';
import { entries, trailOf } from './trail.ts';

/** It belongs so many onsets before the next one at most, or so many after it. Judgement. */
const BEHIND_MOST = 3;
const AHEAD_MOST = 2;
/** And it is so far from the notes around its place at most. Judgement. */
const FARTHEST_MICROS = 500_000;

/** The account with notes that were added or wrong given to written ones of their pitch nearby that lack theirs. */
export function inTheirPlaces(
  account: Account,
  played: readonly PlayedNote[],
  timetable: Timetable,
): Account {
  const { slots, firstSlot, atMicros } = timetable;
  const told = entries(account.extras);
  const extras = new Map(told.map((extra) => [extra.played, extra]));
  const fills = account.fills.slice();
  const lacks = (p: number): boolean =>
    slots[p]!.required && (fills[p]! < 0 || played[fills[p]!]!.pitch !== slots[p]!.pitch);
  const wrongIn = new Map<number, number>();
  for (const [p, by] of fills.entries()) if (by >= 0 && lacks(p)) wrongIn.set(by, p);
  const added = told.filter(({ kind }) => kind === 'extra');
  const out = [...added.map((e) => e.played), ...wrongIn.keys()].sort((a, b) => a - b);
  let changed = false;
  for (const by of out) {
    const left = wrongIn.get(by) ?? -1;
    const before = left >= 0 ? slots[left]!.onset + 1 : extras.get(by)?.before;
    if (before === undefined) continue;
    const from = firstSlot[Math.max(0, before - BEHIND_MOST)]!;
    const to = firstSlot[Math.min(atMicros.length, before + AHEAD_MOST + 1)]!;
    for (let p = from; p < to; p++) {
      if (!lacks(p) || slots[p]!.pitch !== played[by]!.pitch || !isNear(p, by, fills, played)) continue;
      const displaced = fills[p]!;
      fills[p] = by;
      extras.delete(by);
      if (left >= 0) fills[left] = -1;
      if (displaced >= 0) {
        extras.set(displaced, { played: displaced, kind: 'extra', before: slots[p]!.onset + 1 });
        wrongIn.delete(displaced);
        out.push(displaced);
      }
      changed = true;
      break;
    }
  }
  if (!changed) return account;
  return { ...account, fills, extras: trailOf(inOrder(extras.values())) };
}

function inOrder(extras: Iterable<ExtraNote>): ExtraNote[] {
  return [...extras].sort((a, b) => a.played - b.played);
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
