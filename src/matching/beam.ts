// The likeliest readings of a take, carried along note by note: a beam search. Two readings that stand at the same
// place with the same last note cannot be told apart by anything that follows, so only the likelier one is kept.

import type { PlayedNote } from './expectation.ts';
import { grow, type Reading, START } from './reading.ts';
import type { Timetable } from './timetable.ts';

export interface BeamSize {
  /** Most readings kept. */
  readonly width: number;
  /** Most readings kept that stand at the same onset: the others are variations of one account. */
  readonly perOnset: number;
  /** A reading this much less likely than the best is dropped. */
  readonly depth: number;
}

/** Sorted, likeliest first; never empty. */
export type Beam = readonly Reading[];

export const FIRST_BEAM: Beam = [START];

/** The beam after one more played note. */
export function widen(
  beam: Beam,
  note: PlayedNote,
  played: number,
  timetable: Timetable,
  size: BeamSize,
): Beam {
  let best = Number.POSITIVE_INFINITY;
  const grown: Reading[] = [];
  const add = (reading: Reading): void => {
    if (reading.cost > best + size.depth) return;
    if (reading.cost < best) best = reading.cost;
    grown.push(reading);
  };
  for (const reading of beam) {
    if (reading.cost > best + size.depth) break;
    grow(reading, note, played, timetable, add);
  }
  grown.sort((a, b) => a.cost - b.cost);
  const kept: Reading[] = [];
  for (const reading of grown) {
    if (reading.cost > best + size.depth || kept.length >= size.width) break;
    let same = 0;
    let told = false;
    for (const other of kept) {
      if (other.cursor !== reading.cursor) continue;
      same++;
      told ||= sameFuture(other, reading);
    }
    if (!told && same < size.perOnset) kept.push(reading);
  }
  return kept;
}

function sameFuture(a: Reading, b: Reading): boolean {
  return (
    a.last === b.last &&
    a.mask === b.mask &&
    a.ahead === b.ahead &&
    a.open.length === b.open.length &&
    a.open.every((place, i) => place === b.open[i])
  );
}
