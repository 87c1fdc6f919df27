// The likeliest readings of a take, carried along note by note: a beam search. Two readings that stand at the same
// place with the same last note cannot be told apart by anything that follows, so only the likelier one is kept.

import type { PlayedNote } from '../music/played-note.ts';
import type { Jumps } from './evidence.ts';
import { type Growth, grow } from './growth.ts';
import type { Reading } from './reading.ts';
import type { Timetable } from './timetable.ts';

export interface BeamSize {
  /** Most readings kept. */
  readonly width: number;
  /** Most readings kept that stand at the same onset: the others are variations of one account. */
  readonly perOnset: number;
  /** A reading this much less likely than the best is dropped. */
  readonly depth: number;
  readonly jumps: Jumps;
}

/** Sorted, likeliest first; never empty. */
export type Beam = readonly Reading[];

/** The beam after one more played note; `notes` holds it at `played`, and those before it. */
export function widen(
  beam: Beam,
  notes: readonly PlayedNote[],
  played: number,
  timetable: Timetable,
  size: BeamSize,
): Beam {
  const note = notes[played]!;
  const grown: Reading[] = [];
  const growth: Growth = {
    timetable,
    note,
    played,
    previousMicros: notes[played - 1]?.onMicros ?? note.onMicros,
    jumps: size.jumps,
    before: beam[0]!,
    limit: Number.POSITIVE_INFINITY,
    add(reading) {
      if (reading.cost + size.depth < growth.limit) growth.limit = reading.cost + size.depth;
      grown.push(reading);
    },
  };
  for (const reading of beam) {
    if (reading.cost > growth.limit) break;
    grow(reading, growth);
  }
  grown.sort((a, b) => a.cost - b.cost);
  const kept: Reading[] = [];
  for (const reading of grown) {
    if (reading.cost > growth.limit || kept.length >= size.width) break;
    if (isNews(reading, kept, size.perOnset)) kept.push(reading);
  }
  return kept;
}

function isNews(reading: Reading, kept: readonly Reading[], perOnset: number): boolean {
  let same = 0;
  for (const other of kept) {
    if (other.cursor !== reading.cursor) continue;
    same++;
    if (same >= perOnset || sameFuture(other, reading)) return false;
  }
  return true;
}

function sameFuture(a: Reading, b: Reading): boolean {
  return (
    a.last === b.last &&
    a.mask === b.mask &&
    a.ahead === b.ahead &&
    a.open.length === b.open.length &&
    a.open.every(({ place }, i) => place === b.open[i]!.place)
  );
}
