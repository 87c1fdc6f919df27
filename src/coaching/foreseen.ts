// Snags foreseen: which intervals of a span will ask most of the fingers, before a note is played. What takes say
// replaces it, as evidence replaces any prior.

import type { FingerChange } from '../fingering/finger-change.ts';
import type { Keywork } from '../fingering/fingering.ts';
import { passagePlan } from '../fingering/passage-plan.ts';
import type { Span } from '../music/span.ts';

export interface Foreseen {
  /** Number of the onset where the interval begins. */
  readonly onset: number;
  /** Of its fingers at the goal tempo; comparable within one span. */
  readonly cost: number;
  /** The change to the note that it leads to. */
  readonly change: FingerChange;
}

/**
 * One for each interval of the span that has fingerings, in order; none where the instrument has no table or the
 * passage cannot be planned. Where several parts have fingers in an interval, the one that has most to do counts.
 */
function foreseenIntervals(span: Span, keywork?: readonly Keywork[]): Foreseen[] {
  const planned = passagePlan(span.passage, keywork);
  if (!planned.ok) return [];
  const found = new Map<number, Foreseen>();
  for (const { notes, demands } of planned.value) {
    for (const { note, change, cost } of demands) {
      // Grace notes belong to the onset that they lead to.
      if (notes[note]!.onset === notes[note - 1]!.onset) continue;
      const onset = notes[note]!.onset;
      if (onset < span.first || onset >= span.last) continue;
      if (cost > (found.get(onset)?.cost ?? -1)) found.set(onset, { onset, cost, change });
    }
  }
  return [...found.values()].sort((a, b) => a.onset - b.onset);
}

/** The hardest first, each change of the same notes once; changes of a single finger are none to foresee. */
export function foreseenSnags(span: Span, keywork?: readonly Keywork[]): Foreseen[] {
  const told = new Set<string>();
  return foreseenIntervals(span, keywork)
    .filter(({ change }) => change.moved.length > 1)
    .sort((a, b) => b.cost - a.cost || a.onset - b.onset)
    .filter(({ onset }) => {
      const names = [onset - 1, onset].map((index) =>
        span.passage.onsets[index]!.notes.map(({ pitch }) => pitch).join('+'),
      );
      const twice = told.has(names.join());
      told.add(names.join());
      return !twice;
    });
}

/** How much of what makes an interval a snag lies in the fingers; the rest is reading, rhythm, breath: our guess. */
const FINGERS_SHARE = 0.5;

/**
 * How much likelier than the others each interval of the span is to trip the player, by the fingers; 1 on average, 1 for
 * all where nothing is foreseen.
 */
export function foreseenWeights(span: Span, keywork?: readonly Keywork[]): number[] {
  const weights = new Array<number>(Math.max(0, span.last - span.first)).fill(1);
  const foreseen = foreseenIntervals(span, keywork);
  const mean = foreseen.reduce((sum, { cost }) => sum + cost, 0) / Math.max(1, foreseen.length);
  if (mean === 0) return weights;
  for (const { onset, cost } of foreseen) {
    weights[onset - span.first] = 1 - FINGERS_SHARE + (FINGERS_SHARE * cost) / mean;
  }
  return weights;
}
