// Windows that grow around snags. Law: a snag is in every window of its own, and no interval of the span is in more
// windows than the snag it was reached from.

import { beatAt, beatIndexAt } from './beat-grid.ts';
import type { Ground } from './beat-run.ts';
import type { OnsetRange } from './step-onset.ts';

export interface StagedWindow {
  readonly window: OnsetRange;
  /** 0: the snag alone. */
  readonly stage: number;
}

/** How one window becomes the next; stays inside the span. */
export type Wider = (window: OnsetRange) => OnsetRange;

/** Where windows grow; never nowhere. */
export interface GrowingSides {
  readonly before: boolean;
  readonly after: boolean;
}

/**
 * All windows from the snags alone to as wide as they grow, stage by stage: on both sides to the whole span. Two that
 * meet (share an onset) are one window from then on. One that has nowhere to grow comes once.
 */
export function windowsOutward(snags: readonly number[], wider: Wider): readonly StagedWindow[] {
  const staged: StagedWindow[] = [];
  const seen = new Set<string>();
  let windows = merged(snags.map((snag) => ({ first: snag, last: snag + 1 })));
  for (let stage = 0; ; stage++) {
    const fresh = windows.filter(({ first, last }) => !seen.has(`${first}-${last}`));
    if (fresh.length === 0) return staged;
    for (const window of fresh) {
      seen.add(`${window.first}-${window.last}`);
      staged.push({ window, stage });
    }
    windows = merged(windows.map(wider));
  }
}

/** One onset on each side; at an edge of the span on the other side only. */
export function widerByOnset({ range }: Ground, { before, after }: GrowingSides): Wider {
  return ({ first, last }) => ({
    first: Math.max(range.first, first - (before ? 1 : 0)),
    last: Math.min(range.last, last + (after ? 1 : 0)),
  });
}

/**
 * A beat on each side: back to the first onset at or after the beat before, on to the last onset at or before the
 * next beat; at least one onset, for where a beat holds none.
 */
export function widerByBeat({ grid, onsets, range }: Ground, { before, after }: GrowingSides): Wider {
  const tickOf = (number: number) => onsets[number - range.first]!.tick;
  return ({ first, last }) => {
    const backTo = beatAt(grid, tickOf(first) - 1).tick;
    const onTo = grid[beatIndexAt(grid, tickOf(last)) + 1]?.tick ?? Number.POSITIVE_INFINITY;
    let wideFirst = Math.max(range.first, first - 1);
    while (wideFirst > range.first && tickOf(wideFirst - 1) >= backTo) wideFirst--;
    let wideLast = Math.min(range.last, last + 1);
    while (wideLast < range.last && tickOf(wideLast + 1) <= onTo) wideLast++;
    return { first: before ? wideFirst : first, last: after ? wideLast : last };
  };
}

/** Windows in order of their first onset stay in order when they grow. */
function merged(windows: readonly OnsetRange[]): readonly OnsetRange[] {
  const apart: OnsetRange[] = [];
  for (const window of windows) {
    const before = apart.at(-1);
    if (before && window.first <= before.last) {
      apart[apart.length - 1] = { first: before.first, last: Math.max(before.last, window.last) };
    } else apart.push(window);
  }
  return apart;
}
