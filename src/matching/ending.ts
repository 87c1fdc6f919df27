// The likeliest hypothesis when no more notes will come.

import { brokenOffSurprise, MISSED } from './evidence.ts';
import { bitCount, type Hypothesis } from './hypothesis.ts';
import { unpaid } from './left-behind.ts';
import type { Shortlist } from './shortlist.ts';
import type { Timetable } from './timetable.ts';

/** At the end, notes that were not reached cost something too, and those missing from the last chord. */
export function likeliestAtTheEnd(shortlist: Shortlist, timetable: Timetable): Hypothesis {
  const all = timetable.requiredBefore.at(-1)!;
  const whole = (r: Hypothesis): number => {
    const lacking = r.cursor < 0 ? 0 : bitCount(timetable.requiredMask[r.cursor]! & ~r.mask);
    return (
      r.cost +
      unpaid(r.open, r.pending) +
      lacking * MISSED +
      brokenOffSurprise(all - timetable.requiredBefore[r.cursor + 1]!)
    );
  };
  return shortlist.reduce((best, r) => (whole(r) < whole(best) ? r : best));
}
