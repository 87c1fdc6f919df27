// The same onsets at other times: every onset at its new tick, every note as long as its notated end has moved to.

import type { StepOnset } from './step.ts';

/** Old and new tick of one moment. */
export type Anchor = readonly [from: number, to: number];

/** Straight between anchors, unchanged in pace before the first and after the last. Anchors ascend in both. */
export function retiming(anchors: readonly Anchor[]): (tick: number) => number {
  return (tick) => {
    const next = firstAnchorAfter(anchors, tick);
    const [from, to] = anchors[Math.max(0, next - 1)]!;
    const [nextFrom, nextTo] = anchors[next] ?? [from + 1, to + 1];
    if (next === 0) return to - (from - tick);
    return to + Math.round(((tick - from) * (nextTo - to)) / (nextFrom - from));
  };
}

export function retimed(onsets: readonly StepOnset[], newTick: (tick: number) => number): StepOnset[] {
  return onsets.map((onset) => {
    const tick = newTick(onset.tick);
    const lasting = (durationTicks: number) => newTick(onset.tick + durationTicks) - tick;
    return {
      ...onset,
      tick,
      durationTicks: lasting(onset.durationTicks),
      notes: onset.notes.map((note) => ({ ...note, durationTicks: lasting(note.durationTicks) })),
    };
  });
}

function firstAnchorAfter(anchors: readonly Anchor[], tick: number): number {
  let low = 0;
  let high = anchors.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (anchors[middle]![0] <= tick) low = middle + 1;
    else high = middle;
  }
  return low;
}
