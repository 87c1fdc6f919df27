// When a decision is safe: when all readings that are nearly as likely as the best share it, and at the latest after
// a few more notes.

import type { Beam } from './beam.ts';
import type { Reading } from './reading.ts';

export const WAIT_NOTES = {
  /** A reading e^2.5 (12) times less likely than the best has no voice. */
  margin: 2.5,
  /** A player three notes on cannot be told any longer. */
  most: 3,
};

/** The newest reading that everything still likely grew from: the path up to it can be made final. */
export function agreed(beam: Beam, decided: Reading): Reading {
  const best = beam[0]!;
  let common: Reading = best;
  for (const reading of beam) {
    if (reading.cost > best.cost + WAIT_NOTES.margin) break;
    common = sharedPast(common, reading);
  }
  const latest = ancestorAt(best, Math.max(best.depth - WAIT_NOTES.most, decided.depth));
  return common.depth >= latest.depth ? common : latest;
}

function sharedPast(a: Reading, b: Reading): Reading {
  let x = a;
  let y = b;
  while (x !== y) {
    if (x.depth >= y.depth) x = x.before!;
    else y = y.before!;
  }
  return x;
}

function ancestorAt(reading: Reading, depth: number): Reading {
  let r = reading;
  while (r.depth > depth) r = r.before!;
  return r;
}

/** The readings that grew from `decided`. */
export function descendants(beam: Beam, decided: Reading): Beam {
  return beam.filter((reading) => ancestorAt(reading, decided.depth) === decided);
}
