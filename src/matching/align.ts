// The match of a whole take, when it is over: the likeliest of many readings, told with hindsight.

import { alignmentFrom, emptyAccount, stepsBetween, tell } from './account.ts';
import type { Alignment } from './alignment.ts';
import { type Beam, FIRST_BEAM, widen } from './beam.ts';
import { brokenOffSurprise } from './evidence.ts';
import type { Expectation, PlayedNote } from './expectation.ts';
import { inOctave } from './octave.ts';
import { type Reading, START } from './reading.ts';
import { lookAgain } from './second-look.ts';
import { type Timetable, timetableOf } from './timetable.ts';

/** Wide enough that a whole restart with two slips stays in sight. */
const SIZE = { width: 60, perOnset: 5, depth: 30 };

/** Every expected note with its verdict, every other played note with its kind. Notes may come in any order. */
export function align(expectation: Expectation, played: readonly PlayedNote[]): Alignment {
  const timetable = timetableOf(expectation);
  const order = played.map((_, i) => i).sort((a, b) => played[a]!.onMicros - played[b]!.onMicros || a - b);
  const sorted = inOctave(
    expectation,
    order.map((i) => played[i]!),
  );
  const best = likeliestReading(sorted, timetable);
  const first = tell(emptyAccount(timetable), stepsBetween(START, best), timetable);
  const account = timetable.singleLine ? first : lookAgain(lookAgain(first, sorted, timetable), sorted, timetable);
  return inOrderGiven(alignmentFrom(account, sorted, timetable), order);
}

function likeliestReading(played: readonly PlayedNote[], timetable: Timetable): Reading {
  let beam: Beam = FIRST_BEAM;
  for (const [i, note] of played.entries()) beam = widen(beam, note, i, timetable, SIZE);
  return likeliestAtTheEnd(beam, timetable);
}

/** At the end the notes that were not reached count too. */
export function likeliestAtTheEnd(beam: Beam, timetable: Timetable): Reading {
  const all = timetable.requiredBefore.at(-1)!;
  const whole = (r: Reading): number =>
    r.cost + brokenOffSurprise(all - timetable.requiredBefore[r.cursor + 1]!);
  return beam.reduce((best, r) => (whole(r) < whole(best) ? r : best));
}

function inOrderGiven(alignment: Alignment, order: readonly number[]): Alignment {
  if (order.every((given, i) => given === i)) return alignment;
  return {
    notes: alignment.notes.map((n) => (n.played === undefined ? n : { ...n, played: order[n.played]! })),
    extras: alignment.extras
      .map((e) => ({ ...e, played: order[e.played]! }))
      .sort((a, b) => a.played - b.played),
  };
}
