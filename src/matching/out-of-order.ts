// A note out of order: it was added where nothing is written, and a written one of its pitch a note or two away was
// never played. It is that note, early or late. The search finds it where it is out by a moment; where it is out by a
// whole note, as hands that are not together or two exchanged neighbours are, leaving one out and adding another seem
// as likely one by one.

import type { PlayedNote } from '../music/played-note.ts';
import type { Account } from './account.ts';
import type { Timetable } from './timetable.ts';
import { entries, trailOf } from './trail.ts';

/** So many other notes may come between a note and its place. Judgement. */
const PASSED_MOST = 2;
/** And it is so far from its due time at most. Judgement. */
const FARTHEST_MICROS = 500_000;

/** The account with added notes given to written ones of their pitch nearby that nobody had played. */
export function inTheirPlaces(
  account: Account,
  played: readonly PlayedNote[],
  timetable: Timetable,
): Account {
  const added = entries(account.extras);
  const fills = account.fills.slice();
  const empty = timetable.slots.flatMap(({ required }, p) => (required && fills[p]! < 0 ? [p] : []));
  if (added.length === 0 || empty.length === 0) return account;
  const found = new Set<number>();
  for (const { played: by, kind } of added) {
    if (kind !== 'extra') continue;
    const slot = empty.find(
      (p) => fills[p]! < 0 && timetable.slots[p]!.pitch === played[by]!.pitch && isNear(p, by, fills, played),
    );
    if (slot === undefined) continue;
    fills[slot] = by;
    found.add(by);
  }
  return { ...account, fills, extras: trailOf(added.filter((extra) => !found.has(extra.played))) };
}

/** Whether only a note or two were played between a played note and the place of a slot that nobody fills. */
function isNear(slot: number, by: number, fills: readonly number[], played: readonly PlayedNote[]): boolean {
  let before = slot - 1;
  while (before >= 0 && fills[before]! < 0) before--;
  let after = slot + 1;
  while (after < fills.length && fills[after]! < 0) after++;
  // Skips a neighbour on either side that was played on the other side of it.
  const from = before < 0 ? after : before;
  const to = after >= fills.length ? before : after;
  if (from < 0 || to >= fills.length) return false;
  const [a, b] = [fills[from]!, fills[to]!];
  if (by >= a && by <= b) return true;
  if (Math.max(a - by, by - b) > PASSED_MOST) return false;
  const at = played[by]!.onMicros;
  return Math.max(played[a]!.onMicros - at, at - played[b]!.onMicros) <= FARTHEST_MICROS;
}
