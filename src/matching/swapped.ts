// Two neighbouring notes played in each other's place: both are the right notes, in the wrong order. Told as one thing
// (the interval between them then runs backwards and is not in time), not as two wrong notes.

import type { PlayedNote } from '../music/played-note.ts';
import type { Account } from './account.ts';
import type { Timetable } from './timetable.ts';

/** The account of a single line with swapped neighbours given their own slots. */
export function unswap(account: Account, played: readonly PlayedNote[], timetable: Timetable): Account {
  const fills = account.fills.slice();
  const pitchAt = (p: number): number | undefined => played[fills[p] ?? -1]?.pitch;
  for (let p = 0; p + 1 < fills.length; p++) {
    const [a, b] = [timetable.slots[p]!, timetable.slots[p + 1]!];
    if (!a.required || !b.required || a.pitch === b.pitch) continue;
    if (pitchAt(p) === b.pitch && pitchAt(p + 1) === a.pitch) {
      [fills[p], fills[p + 1]] = [fills[p + 1]!, fills[p]!];
    }
  }
  return { ...account, fills };
}
