// The likeliest readings of a take, carried along note by note: a beam search. Two readings that stand at the same
// place with the same last note cannot be told apart by anything that follows, so only the likelier one is kept.

import type { PlayedNote } from '../music/played-note.ts';
import type { Jumps } from './evidence.ts';
import { grow } from './grow.ts';
import type { Growth } from './growth.ts';
import type { Reading } from './reading.ts';
import { fittest, growScout, inTrouble, sendScouts } from './scouts.ts';
import type { Timetable } from './timetable.ts';

export interface BeamSize {
  /** Most readings kept. */
  readonly width: number;
  /** Most readings kept that stand at the same onset: the others are variations of one account. */
  readonly perOnset: number;
  /** A reading this much less likely than the best is dropped. */
  readonly depth: number;
  /** Most scouts kept besides. */
  readonly scouts: number;
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
  const best = beam[0]!;
  const grown: Reading[] = [];
  const growth: Growth = {
    timetable,
    note,
    played,
    previousMicros: notes[played - 1]?.onMicros ?? note.onMicros,
    jumps: size.jumps,
    before: best,
    limit: Number.POSITIVE_INFINITY,
    add(reading) {
      if (reading.cost + size.depth < growth.limit) growth.limit = reading.cost + size.depth;
      grown.push(reading);
    },
  };
  let next = 0;
  for (; next < beam.length && beam[next]!.cost <= growth.limit; next++) grow(beam[next]!, growth);
  const limit = growth.limit;
  for (; next < beam.length; next++) growScout(beam[next]!, growth);
  grown.sort((a, b) => a.cost - b.cost);
  const kept: Reading[] = [];
  let beyond = 0;
  for (; beyond < grown.length; beyond++) {
    const reading = grown[beyond]!;
    if (reading.cost > limit || kept.length >= size.width) break;
    if (isNews(reading, kept, size.perOnset)) kept.push(reading);
  }
  const sent = inTrouble(best, kept[0]!) ? sendScouts(best, growth) : NOBODY;
  if (beyond === grown.length && sent.length === 0) return kept;
  const main = kept.length;
  for (const scout of fittest([...grown.slice(beyond), ...sent], played)) {
    if (kept.length >= main + size.scouts) break;
    if (isNews(scout, kept, size.perOnset)) kept.push(scout);
  }
  return kept.length === main ? kept : kept.sort((a, b) => a.cost - b.cost);
}

const NOBODY: readonly Reading[] = [];

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
