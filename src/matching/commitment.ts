// When a decision is safe: when all hypotheses that are nearly as likely as the best share it. A slip stops the run, so
// it must be surer than a right note. What a note was is told two notes later at the latest; which hypothesis
// of the whole take it belongs to may stay open for a few notes more.

import type { Hypothesis } from './hypothesis.ts';
import type { Shortlist } from './shortlist.ts';

/**
 * A hypothesis is ignored when its cost is more than this above the best one's (a cost of 1 is a factor of e in likelihood).
 * `right`: a note is called right once every hypothesis within e^2, about 7 times less likely, agrees. `slip`: to call a slip,
 * hypotheses with a whole slip more are heard too. `wentBack` stands between: going back moves all later notes, but the
 * next note or two will show it.
 */
export const MARGIN = { right: 2, wentBack: 4, slip: 4.5 };
/**
 * Hypotheses are kept apart for so many notes at most: a follower that has lost its place finds it within a few bars, if
 * it has not thrown the right hypothesis away before. Nobody waits for it: see `heardAlready`. Fitted (README.md).
 */
const WAIT_NOTES_MOST = 20;
/** Two notes on, whoever listens says what a note was, by the best hypothesis there is. */
const TELL_WITHIN_NOTES = 2;
/** Then a hypothesis e times less likely than the best still has a say that a note was right: that is the usual case. */
const BENEFIT_OF_DOUBT = 1;

/** The newest hypothesis that everything still likely grew from: the path up to it can be made final. */
export function agreed(shortlist: Shortlist, decided: Hypothesis): Hypothesis {
  const best = shortlist[0]!;
  const sure = sharedPast(shortlist, MARGIN.slip);
  const likely = sharedPast(
    shortlist.filter((r) => hasVoice(r, best, decided)),
    MARGIN.slip,
  );
  const late = ancestorAt(best, Math.max(best.depth - WAIT_NOTES_MOST, decided.depth));
  const certain = sure.depth >= late.depth ? sure : late;
  // On from there as far as only right notes follow.
  let safe = likely;
  for (let r = likely; r.depth > certain.depth; r = r.before!) if (isSlip(r)) safe = r.before!;
  return safe.depth > certain.depth ? safe : certain;
}

/** Whether a hypothesis can still stop a right note from being believed. */
function hasVoice(r: Hypothesis, best: Hypothesis, decided: Hypothesis): boolean {
  const worse = r.cost - best.cost;
  if (worse <= MARGIN.right) return true;
  return worse <= MARGIN.wentBack && hasGoneBack(r, decided);
}

function hasGoneBack(hypothesis: Hypothesis, decided: Hypothesis): boolean {
  for (let r = hypothesis; r.depth > decided.depth; r = r.before!) if (r.wentBack) return true;
  return false;
}

function isSlip(r: Hypothesis): boolean {
  return r.act !== 'right' || r.wentBack || r.cursor > r.before!.cursor + 1;
}

/** A note passed over is no slip while it may still come. */
function isCertainSlip({ act, wentBack, lost, before }: Hypothesis): boolean {
  if (act === 'ornament') return false;
  return act !== 'right' || wentBack || lost > before!.lost;
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

/** What a played note is taken for: its slot when right, else a slip of some kind (wrong, added, an ornament). */
export interface Heard {
  readonly played: number;
  readonly slot: number | 'none';
}

/**
 * What is certain of the latest notes before every detail is: that a note is right (and which), or that it is not,
 * though it may be open whether it replaced the written note or was added. What is still in doubt two notes later is
 * told by the best hypothesis, and may be corrected when the hypotheses are decided between.
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

/** Of the hypotheses still likely, the likeliest in which a note is right; without one it is none of the line. */
function withBenefitOfDoubt(shortlist: Shortlist, played: number): number | 'none' {
  const limit = shortlist[0]!.cost + BENEFIT_OF_DOUBT;
  for (const hypothesis of shortlist) {
    if (hypothesis.cost > limit) break;
    const step = stepOf(hypothesis, played);
    if (step.act === 'right') return step.slot;
  }
  return 'none';
}

/** The latest moment's certainty that something went wrong: every likely hypothesis has a slip since `decided`. */
export function slipIsCertain(shortlist: Shortlist, decided: Hypothesis): boolean {
  const limit = shortlist[0]!.cost + MARGIN.slip;
  return shortlist.every((hypothesis) => {
    if (hypothesis.cost > limit) return true;
    for (let r = hypothesis; r !== decided; r = r.before!) if (isCertainSlip(r)) return true;
    return false;
  });
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
