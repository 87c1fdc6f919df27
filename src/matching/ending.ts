// The likeliest reading when no more notes will come.

import type { Beam } from './beam.ts';
import { brokenOffSurprise, MISSED } from './evidence.ts';
import { unpaid } from './left-behind.ts';
import { bitCount, type Reading } from './reading.ts';
import type { Timetable } from './timetable.ts';

/** At the end the notes that were not reached count too, and those missing from the last chord. */
export function likeliestAtTheEnd(beam: Beam, timetable: Timetable): Reading {
  const all = timetable.requiredBefore.at(-1)!;
  const whole = (r: Reading): number => {
    const lacking = r.cursor < 0 ? 0 : bitCount(timetable.requiredMask[r.cursor]! & ~r.mask);
    return (
      r.cost +
      unpaid(r.open, r.pending) +
      lacking * MISSED +
      brokenOffSurprise(all - timetable.requiredBefore[r.cursor + 1]!)
    );
  };
  return beam.reduce((best, r) => (whole(r) < whole(best) ? r : best));
}
