// When a decision is safe: when all readings that are nearly as likely as the best share it. A slip stops the run, so it
// must be surer than a right note. What a note was is told two notes later at the latest; which reading of the whole it
// belongs to may stay open for a few notes more.

import type { Beam } from './beam.ts';
import type { Reading } from './reading.ts';

/**
 * A reading is ignored when its cost is more than this above the best one's (a cost of 1 is a factor of e in likelihood).
 * `right`: a note is called right once every reading within e^2, about 7 times less likely, agrees. `slip`: to call a slip,
 * readings with a whole slip more are heard too. `wentBack` stands between: going back moves all later notes, but the
 * next note or two will show it.
 */
export const MARGIN = { right: 2, wentBack: 4, slip: 4.5 };
/**
 * Readings are kept apart for so many notes at most: a follower that has lost its place finds it within a few bars, if
 * it has not thrown the right reading away before. Nobody waits for it: see `heardAlready`. Fitted (README.md).
 */
const WAIT_NOTES_MOST = 20;
/** Two notes on, whoever listens says what a note was, by the best reading there is. */
const TELL_WITHIN_NOTES = 2;
/** Then a reading e times less likely than the best still has a say that a note was right: that is the usual case. */
const BENEFIT_OF_DOUBT = 1;

/** The newest reading that everything still likely grew from: the path up to it can be made final. */
export function agreed(beam: Beam, decided: Reading): Reading {
  const best = beam[0]!;
  const sure = sharedPast(beam, MARGIN.slip);
  const likely = sharedPast(
    beam.filter((r) => hasVoice(r, best, decided)),
    MARGIN.slip,
  );
  const late = ancestorAt(best, Math.max(best.depth - WAIT_NOTES_MOST, decided.depth));
  const certain = sure.depth >= late.depth ? sure : late;
  // On from there as far as only right notes follow.
  let safe = likely;
  for (let r = likely; r.depth > certain.depth; r = r.before!) if (isSlip(r)) safe = r.before!;
  return safe.depth > certain.depth ? safe : certain;
}

/** Whether a reading can still stop a right note from being believed. */
function hasVoice(r: Reading, best: Reading, decided: Reading): boolean {
  const worse = r.cost - best.cost;
  if (worse <= MARGIN.right) return true;
  return worse <= MARGIN.wentBack && hasGoneBack(r, decided);
}

function hasGoneBack(reading: Reading, decided: Reading): boolean {
  for (let r = reading; r.depth > decided.depth; r = r.before!) if (r.wentBack) return true;
  return false;
}

function isSlip(r: Reading): boolean {
  return r.act !== 'right' || r.wentBack || r.cursor > r.before!.cursor + 1;
}

/** The newest reading from which every reading within the margin grew. */
function sharedPast(beam: Beam, margin: number): Reading {
  const best = beam[0]!;
  let common: Reading = best;
  for (const reading of beam) {
    if (reading.cost > best.cost + margin) break;
    let other = reading;
    while (common !== other) {
      if (common.depth >= other.depth) common = common.before!;
      else other = other.before!;
    }
  }
  return common;
}

function ancestorAt(reading: Reading, depth: number): Reading {
  let r = reading;
  while (r.depth > depth) r = r.before!;
  return r;
}

/** What a played note is taken for: its place when right, else a slip of some kind (wrong, added, an ornament). */
export interface Heard {
  readonly played: number;
  readonly place: number | 'none';
}

/**
 * What is certain of the latest notes before every detail is: that a note is right (and which), or that it is not,
 * though it may be open whether it replaced the written note or was added. What is still in doubt two notes later is
 * told by the best reading, and may be corrected when the readings are decided between.
 */
export function heardAlready(beam: Beam, decided: Reading): Heard[] {
  const best = beam[0]!;
  const heard: Heard[] = [];
  for (let r = best; r !== decided; r = r.before!) {
    if (r.played < 0) continue;
    if (best.played - r.played >= TELL_WITHIN_NOTES) {
      heard.push({ played: r.played, place: withBenefitOfDoubt(beam, r.played) });
      continue;
    }
    const place = r.act === 'right' ? r.place : 'none';
    const margin = place === 'none' ? MARGIN.slip : MARGIN.right;
    const all = beam.every((other) => {
      if (margin === MARGIN.right ? !hasVoice(other, best, decided) : other.cost > best.cost + margin)
        return true;
      const step = stepOf(other, r.played);
      return (step.act === 'right' ? step.place : 'none') === place;
    });
    if (all) heard.push({ played: r.played, place });
  }
  return heard;
}

/** Of the readings still likely, the likeliest in which a note is right; without one it is none of the line. */
function withBenefitOfDoubt(beam: Beam, played: number): number | 'none' {
  const limit = beam[0]!.cost + BENEFIT_OF_DOUBT;
  for (const reading of beam) {
    if (reading.cost > limit) break;
    const step = stepOf(reading, played);
    if (step.act === 'right') return step.place;
  }
  return 'none';
}

/** The latest moment's certainty that something went wrong: every likely reading has a slip since `decided`. */
export function hasSlipped(beam: Beam, decided: Reading): boolean {
  const limit = beam[0]!.cost + MARGIN.slip;
  return beam.every((reading) => {
    if (reading.cost > limit) return true;
    for (let r = reading; r !== decided; r = r.before!) if (r.act !== 'ornament' && isSlip(r)) return true;
    return false;
  });
}

function stepOf(reading: Reading, played: number): Reading {
  let r = reading;
  while (r.played !== played) r = r.before!;
  return r;
}

/** The readings that grew from `decided`. */
export function descendants(beam: Beam, decided: Reading): Beam {
  return beam.filter((reading) => ancestorAt(reading, decided.depth) === decided);
}
