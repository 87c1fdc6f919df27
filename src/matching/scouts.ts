// Finding a lost place. Going on far away is so rare that a reading which says so stands far behind the others at first,
// and only the notes that follow can prove it. While the likeliest reading is in trouble, such readings (scouts) are
// sent out to every place that has the note just played. They compete among themselves by how well they have fitted
// since, whatever the jump cost, until one is as likely as the others or none has proved itself.

import { grow } from './grow.ts';
import type { Growth } from './growth.ts';
import { addFarJumps } from './jumps.ts';
import type { Reading } from './reading.ts';

/** The likeliest reading is in trouble when its last few notes were together more surprising than one slip. */
const TROUBLE_NOTES = 4;
const TROUBLE = 6.5;
/** A scout that is no likelier than the others after so many notes is given up. */
const SCOUT_NOTES = 40;
/** One that fits so much worse than the best scout is given up at once. */
const SCOUT_DEPTH = 12;
/** What a scout may pay for one note: a slip, but not another jump. */
const SCOUT_STEP = 8;
/** Each note that a scout has lasted speaks for it. */
const LASTED = 1;

/** Whether the likeliest reading, `before` the latest note and `now`, has paid for something lately. */
export function inTrouble(before: Reading, now: Reading): boolean {
  if (before.cursor < 0) return false;
  let r = before;
  for (let i = 0; i < TROUBLE_NOTES && r.before; i++) r = r.before;
  return now.cost - r.cost > TROUBLE;
}

/** New scouts to every place of the latest note. */
export function sendScouts(from: Reading, growth: Growth): Reading[] {
  const sent: Reading[] = [];
  addFarJumps(from, { ...growth, before: from, add: (reading) => sent.push(reading) });
  return sent;
}

/** One more note for a reading, if it is a scout. */
export function growScout(reading: Reading, growth: Growth): void {
  if (!isScout(reading, growth.played)) return;
  growth.limit = reading.cost + SCOUT_STEP;
  grow(reading, growth);
}

/** The scouts among some readings that still may prove themselves, the one that fits best first. */
export function fittest(readings: readonly Reading[], played: number): Reading[] {
  const misfit = (r: Reading): number => r.cost - r.jumpedCost - LASTED * (played - r.jumpedAt);
  const scouts = readings.filter((r) => isScout(r, played)).sort((a, b) => misfit(a) - misfit(b));
  return scouts.filter((r) => misfit(r) <= misfit(scouts[0]!) + SCOUT_DEPTH);
}

function isScout({ jumpedAt }: Reading, played: number): boolean {
  return jumpedAt >= 0 && jumpedAt > played - SCOUT_NOTES;
}
