// When a decision is safe: when every hypothesis that is nearly as likely as the best says the same. A slip stops the
// run, so it must be surer than a right note. What a note was is told two notes later at the latest; the decision
// itself, which cannot be taken back, may wait longer.

import { chargedUntil, type Hypothesis, isSlip } from './hypothesis.ts';
import { missingBy, NONE_LEFT, nextMissingMicros } from './left-behind.ts';
import type { Shortlist } from './shortlist.ts';

/**
 * How much more than the best a hypothesis may cost and still be asked (one more is e times less likely). Judgement.
 * `right`: before a note is called right. `slip`: before a slip is told; that is a whole slip more. `wentBack`: a
 * hypothesis that went back is asked about right notes too, for it would move all that follow, and the next note or two
 * will prove it.
 */
export const MARGIN = { right: 2, wentBack: 4, slip: 4.5 };
/**
 * A decision waits for so many notes at most. A lost place may show only after a few bars, and until then the right
 * hypothesis must not be thrown away. The player does not wait for it: see `heardAlready`. Fitted (README.md).
 */
const WAIT_NOTES_MOST = 20;
/** After so many more notes it is told what a note was, as the best hypothesis has it. Judgement. */
const TELL_WITHIN_NOTES = 2;
/**
 * Then a hypothesis that costs so much more than the best may still say that the note was right, as most are.
 * Judgement.
 */
const BENEFIT_OF_DOUBT = 1;

/** The newest hypothesis from which everything that is still likely grew: what it says up to there is final. */
export function agreed(shortlist: Shortlist, decided: Hypothesis): Hypothesis {
  const best = shortlist[0]!;
  const sure = sharedPast(shortlist, MARGIN.slip);
  const likely = sharedPast(
    shortlist.filter((r) => hasVoice(r, best, decided)),
    MARGIN.slip,
  );
  const late = ancestorAt(best, Math.max(best.depth - WAIT_NOTES_MOST, decided.depth));
  const certain = sure.depth >= late.depth ? sure : late;
  // Beyond what is certain, go on only as far as every note is right.
  let safe = likely;
  for (let r = likely; r.depth > certain.depth; r = r.before!) if (!isPlainlyRight(r)) safe = r.before!;
  return safe.depth > certain.depth ? safe : certain;
}

/** Whether a hypothesis is likely enough to be asked before a note is called right. */
function hasVoice(r: Hypothesis, best: Hypothesis, decided: Hypothesis): boolean {
  const worse = r.cost - best.cost;
  if (worse <= MARGIN.right) return true;
  return worse <= MARGIN.wentBack && hasGoneBack(r, decided);
}

function hasGoneBack(hypothesis: Hypothesis, decided: Hypothesis): boolean {
  for (let r = hypothesis; r.depth > decided.depth; r = r.before!) if (r.wentBack) return true;
  return false;
}

function isPlainlyRight(r: Hypothesis): boolean {
  return r.act === 'right' && !r.wentBack && r.cursor <= r.before!.cursor + 1;
}

/** The newest hypothesis from which every hypothesis within the margin grew. */
function sharedPast(shortlist: Shortlist, margin: number): Hypothesis {
  const best = shortlist[0]!;
  let common: Hypothesis = best;
  for (const hypothesis of shortlist) {
    if (hypothesis.cost > best.cost + margin) break;
    let other = hypothesis;
    while (common !== other) {
      if (common.depth >= other.depth) common = common.before!;
      else other = other.before!;
    }
  }
  return common;
}

function ancestorAt(hypothesis: Hypothesis, depth: number): Hypothesis {
  let r = hypothesis;
  while (r.depth > depth) r = r.before!;
  return r;
}

/**
 * What a played note is taken for: the slot for which it is right, or none (it is wrong, added or part of an ornament).
 */
export interface Heard {
  readonly played: number;
  readonly slot: number | 'none';
}

/**
 * What can be said of the notes that are not decided yet: that a note is right, and for which slot, or that it is not
 * (whether it replaced a written note or was added may still be open). What is in doubt two notes later is told as the
 * best hypothesis has it; the decision may correct it.
 */
export function heardAlready(shortlist: Shortlist, decided: Hypothesis): Heard[] {
  const best = shortlist[0]!;
  const heard: Heard[] = [];
  for (let r = best; r !== decided; r = r.before!) {
    if (r.played < 0) continue;
    if (best.played - r.played >= TELL_WITHIN_NOTES) {
      heard.push({ played: r.played, slot: withBenefitOfDoubt(shortlist, r.played) });
      continue;
    }
    const slot = r.act === 'right' ? r.slot : 'none';
    const margin = slot === 'none' ? MARGIN.slip : MARGIN.right;
    const all = shortlist.every((other) => {
      if (margin === MARGIN.right ? !hasVoice(other, best, decided) : other.cost > best.cost + margin)
        return true;
      const step = stepOf(other, r.played);
      return (step.act === 'right' ? step.slot : 'none') === slot;
    });
    if (all) heard.push({ played: r.played, slot });
  }
  return heard;
}

/** The slot of a note in the likeliest hypothesis that calls it right, where one is likely enough. */
function withBenefitOfDoubt(shortlist: Shortlist, played: number): number | 'none' {
  const limit = shortlist[0]!.cost + BENEFIT_OF_DOUBT;
  for (const hypothesis of shortlist) {
    if (hypothesis.cost > limit) break;
    const step = stepOf(hypothesis, played);
    if (step.act === 'right') return step.slot;
  }
  return 'none';
}

/** Whether something has certainly gone wrong by now: every likely hypothesis has a slip since `decided`. */
export function slipIsCertain(shortlist: Shortlist, decided: Hypothesis, nowMicros: number): boolean {
  const byNow = shortlist.map((r) => (r.open === NONE_LEFT ? r : chargedUntil(r, nowMicros)));
  const limit = Math.min(...byNow.map(({ cost }) => cost)) + MARGIN.slip;
  return shortlist.every((hypothesis, i) => {
    const { cost } = byNow[i]!;
    if (cost > limit || missingBy(hypothesis.open, nowMicros)) return true;
    for (let r = hypothesis; r !== decided; r = r.before!) if (isSlip(r)) return true;
    return false;
  });
}

/** When the next note left behind is missing, in any of the hypotheses; Infinity without any. */
export function nextSlipMicros(shortlist: Shortlist, afterMicros: number): number {
  let first = Number.POSITIVE_INFINITY;
  for (const { open } of shortlist) first = Math.min(first, nextMissingMicros(open, afterMicros));
  return first;
}

function stepOf(hypothesis: Hypothesis, played: number): Hypothesis {
  let r = hypothesis;
  while (r.played !== played) r = r.before!;
  return r;
}

/** The hypotheses that grew from `decided`. */
export function descendants(shortlist: Shortlist, decided: Hypothesis): Shortlist {
  return shortlist.filter((hypothesis) => ancestorAt(hypothesis, decided.depth) === decided);
}
