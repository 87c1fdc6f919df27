// The likeliest hypotheses, carried along note by note (a beam search). Two that have reached the same onset with the
// same last note cannot be told apart by anything that follows, so only the likelier one is kept.

import type { PlayedNote } from '../music/played-note.ts';
import type { Jumps } from './evidence.ts';
import { grow } from './grow.ts';
import type { Growth } from './growth.ts';
import { type Hypothesis, isSlip } from './hypothesis.ts';
import { fittest, growScout, inTrouble, sendScouts } from './scouts.ts';
import type { Timetable } from './timetable.ts';

export interface ShortlistSize {
  /** Most hypotheses kept. */
  readonly width: number;
  /** Most hypotheses kept at the same onset: more of them would differ only in their past. */
  readonly perOnset: number;
  /** A hypothesis that costs so much more than the best is dropped. */
  readonly depth: number;
  /** Most scouts kept besides. */
  readonly scouts: number;
  readonly jumps: Jumps;
  /**
   * Whether the likeliest hypothesis without a slip is kept beside one with the same future that has one: while it is
   * likely, no slip is certain.
   */
  readonly keepsDoubt: boolean;
}

/** Sorted, likeliest first; never empty. */
export type Shortlist = readonly Hypothesis[];

/** The shortlist after one more played note; `notes` holds it at `played`, and those before it. */
export function nextShortlist(
  shortlist: Shortlist,
  notes: readonly PlayedNote[],
  played: number,
  timetable: Timetable,
  size: ShortlistSize,
): Shortlist {
  const note = notes[played]!;
  const best = shortlist[0]!;
  const grown: Hypothesis[] = [];
  const growth: Growth = {
    timetable,
    note,
    played,
    previousMicros: (notes[played - 1] ?? note).onMicros,
    previousPitch: (notes[played - 1] ?? note).pitch,
    jumps: size.jumps,
    before: best,
    pace: 1,
    limit: Number.POSITIVE_INFINITY,
    add(hypothesis) {
      hypothesis.slipped = hypothesis.before!.slipped || isSlip(hypothesis);
      if (hypothesis.cost + size.depth < growth.limit) growth.limit = hypothesis.cost + size.depth;
      grown.push(hypothesis);
    },
  };
  let next = 0;
  for (; next < shortlist.length && shortlist[next]!.cost <= growth.limit; next++)
    grow(shortlist[next]!, growth);
  const limit = growth.limit;
  for (; next < shortlist.length; next++) growScout(shortlist[next]!, growth);
  grown.sort((a, b) => a.cost - b.cost);
  const kept: Hypothesis[] = [];
  let beyond = 0;
  for (; beyond < grown.length; beyond++) {
    const hypothesis = grown[beyond]!;
    if (hypothesis.cost > limit || kept.length >= size.width) break;
    if (isNews(hypothesis, kept, size)) kept.push(hypothesis);
  }
  // A take may begin anywhere.
  const sent = played === 0 || inTrouble(best, kept[0]!) ? sendScouts(best, growth) : NOBODY;
  if (beyond === grown.length && sent.length === 0) return kept;
  const main = kept.length;
  for (const scout of fittest([...grown.slice(beyond), ...sent], played)) {
    if (kept.length >= main + size.scouts) break;
    if (isNews(scout, kept, size)) kept.push(scout);
  }
  return kept.length === main ? kept : kept.sort((a, b) => a.cost - b.cost);
}

const NOBODY: readonly Hypothesis[] = [];

function isNews(
  hypothesis: Hypothesis,
  kept: readonly Hypothesis[],
  { perOnset, keepsDoubt }: ShortlistSize,
): boolean {
  let same = 0;
  for (const other of kept) {
    if (other.cursor !== hypothesis.cursor) continue;
    if (keepsDoubt && other.slipped && !hypothesis.slipped) continue;
    same++;
    if (same >= perOnset || sameFuture(other, hypothesis)) return false;
  }
  return true;
}

function sameFuture(a: Hypothesis, b: Hypothesis): boolean {
  return (
    a.last === b.last &&
    a.mask === b.mask &&
    a.ahead === b.ahead &&
    a.aheadOnset === b.aheadOnset &&
    a.open.length === b.open.length &&
    a.open.every(({ slot }, i) => slot === b.open[i]!.slot)
  );
}
