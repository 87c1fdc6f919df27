// A hypothesis: one way to tell what each note of the take so far was. Each points to the one it grew from, so they
// share their past and many can be kept at little cost. The cheapest one wins.

import { PACE_PRIOR } from './evidence.ts';
import { chargesOf, type LeftBehind, NONE_LEFT } from './left-behind.ts';

/** `passed`: no note was played, an onset's time ran out. */
export type Act = 'start' | 'right' | 'wrong' | 'extra' | 'ornament' | 'passed';

export interface Hypothesis {
  readonly before: Hypothesis | undefined;
  /** Steps since the start. */
  readonly depth: number;
  /** The surprise so far; see evidence.ts. */
  readonly cost: number;
  readonly act: Act;
  /** Index of the played note this step is about; -1 for none. */
  readonly played: number;
  /** Its slot in the timetable when right or wrong, else -1. */
  readonly slot: number;
  /** True when the player went back to this slot: what was played from there on was a try given up. */
  readonly wentBack: boolean;
  /** The onset reached; -1 before the first. */
  readonly cursor: number;
  /** Played time of the onset reached. */
  readonly atMicros: number;
  /** Which notes of the onset reached have been played (a bit for each), and which optional notes of a later one. */
  readonly mask: number;
  readonly ahead: number;
  readonly aheadOnset: number;
  /** When the first added note since the onset reached was played; -1 for none. */
  readonly extraAtMicros: number;
  /** When an ornament of the next onset began before its written note; -1 when it did not. */
  readonly ornamentAtMicros: number;
  /** Notes behind the onset reached that may still come. */
  readonly open: readonly LeftBehind[];
  /** What is charged for them so far; part of the cost. */
  readonly pending: number;
  /** How many required notes have been passed over and will not come any more. */
  readonly lost: number;
  /** Whether there has been a slip on the way here. */
  readonly slipped: boolean;
  /** Index of the played note at which this hypothesis last jumped far away; -1 for never. */
  readonly jumpedAt: number;
  /** What it cost then. */
  readonly jumpedCost: number;
  /** Index of the last played note that found a slot. */
  readonly last: number;
  /** When it was played. */
  readonly lastMicros: number;
  /** Logarithm of played time over time asked, and its variance. */
  readonly logPace: number;
  readonly paceVariance: number;
}

/**
 * A hypothesis while it is being made, from a copy of the one that it grows from. Hundreds are made for every note: of
 * one shape, and without spreading, that takes a third of the time.
 */
export class HypothesisDraft implements Hypothesis {
  before: Hypothesis | undefined;
  depth: number;
  cost: number;
  act: Act;
  played: number;
  slot: number;
  wentBack: boolean;
  cursor: number;
  atMicros: number;
  mask: number;
  ahead: number;
  aheadOnset: number;
  extraAtMicros: number;
  ornamentAtMicros: number;
  open: readonly LeftBehind[];
  pending: number;
  lost: number;
  slipped: boolean;
  jumpedAt: number;
  jumpedCost: number;
  last: number;
  lastMicros: number;
  logPace: number;
  paceVariance: number;

  constructor(r: Hypothesis) {
    this.before = r.before;
    this.depth = r.depth;
    this.cost = r.cost;
    this.act = r.act;
    this.played = r.played;
    this.slot = r.slot;
    this.wentBack = r.wentBack;
    this.cursor = r.cursor;
    this.atMicros = r.atMicros;
    this.mask = r.mask;
    this.ahead = r.ahead;
    this.aheadOnset = r.aheadOnset;
    this.extraAtMicros = r.extraAtMicros;
    this.ornamentAtMicros = r.ornamentAtMicros;
    this.open = r.open;
    this.pending = r.pending;
    this.lost = r.lost;
    this.slipped = r.slipped;
    this.jumpedAt = r.jumpedAt;
    this.jumpedCost = r.jumpedCost;
    this.last = r.last;
    this.lastMicros = r.lastMicros;
    this.logPace = r.logPace;
    this.paceVariance = r.paceVariance;
  }
}

/** Before the first note: what is known of the pace, as a logarithm and its variance. */
export function startHypothesis(logPace = 0, paceVariance = PACE_PRIOR): Hypothesis {
  return new HypothesisDraft({
    before: undefined,
    depth: 0,
    cost: 0,
    act: 'start',
    played: -1,
    slot: -1,
    wentBack: false,
    cursor: -1,
    atMicros: 0,
    mask: 0,
    ahead: 0,
    aheadOnset: -1,
    extraAtMicros: -1,
    ornamentAtMicros: -1,
    open: NONE_LEFT,
    pending: 0,
    lost: 0,
    slipped: false,
    jumpedAt: -1,
    jumpedCost: 0,
    last: -1,
    lastMicros: 0,
    logPace,
    paceVariance,
  });
}

/** The same, charged for notes left behind up to now; those that are too late to come are given up. */
export function chargedUntil(r: Hypothesis, nowMicros: number): HypothesisDraft {
  const { price, pending, open } = chargesOf(r.open, nowMicros);
  const charged = new HypothesisDraft(r);
  charged.cost = r.cost - r.pending + price + pending;
  charged.open = open;
  charged.pending = pending;
  charged.lost = r.lost + r.open.length - open.length;
  return charged;
}

/** Whether something went wrong with this step. A note passed over is no slip while it may still come. */
export function isSlip({ act, wentBack, lost, before }: Hypothesis): boolean {
  if (act === 'ornament') return false;
  return act !== 'right' || wentBack || lost > before!.lost;
}

/** The steps from (and without) an older hypothesis to a newer one that grew from it, first step first. */
export function stepsBetween(older: Hypothesis | undefined, newer: Hypothesis): Hypothesis[] {
  const steps: Hypothesis[] = [];
  for (let r: Hypothesis | undefined = newer; r && r !== older; r = r.before) steps.push(r);
  return steps.reverse();
}

/** Reaches an onset: optional notes of later ones are still ahead, and whatever hung on the last onset is over. */
export function reach(draft: HypothesisDraft, onset: number, mask: number): void {
  draft.mask = onset === draft.aheadOnset ? mask | draft.ahead : mask;
  if (onset >= draft.aheadOnset) {
    draft.ahead = 0;
    draft.aheadOnset = -1;
  }
  draft.cursor = onset;
  draft.extraAtMicros = -1;
  draft.ornamentAtMicros = -1;
}

export function bitCount(bits: number): number {
  let count = 0;
  for (let rest = bits; rest !== 0; rest &= rest - 1) count++;
  return count;
}
