// Finding a lost place. Going on far away is so rare that a hypothesis which says so stands far behind the others at
// first, and only the notes that follow can prove it. While the likeliest hypothesis is in trouble, such hypotheses
// (scouts) are sent out to every place that has the note just played. They compete among themselves by how well they
// have fitted since, whatever the jump cost, until one is as likely as the others or none has proved itself.

import { grow } from './grow.ts';
import type { Growth } from './growth.ts';
import type { Hypothesis } from './hypothesis.ts';
import { addFarJumps } from './jumps.ts';

/** The likeliest hypothesis is in trouble when its last few notes were together more surprising than one slip. */
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

/** Whether the likeliest hypothesis, `before` the latest note and `now`, has paid for something lately. */
export function inTrouble(before: Hypothesis, now: Hypothesis): boolean {
  if (before.cursor < 0) return false;
  let r = before;
  for (let i = 0; i < TROUBLE_NOTES && r.before; i++) r = r.before;
  return now.cost - r.cost > TROUBLE;
}

/** New scouts to every place of the latest note. */
export function sendScouts(from: Hypothesis, growth: Growth): Hypothesis[] {
  const sent: Hypothesis[] = [];
  addFarJumps(from, { ...growth, before: from, add: (hypothesis) => sent.push(hypothesis) });
  return sent;
}

/** One more note for a hypothesis, if it is a scout. */
export function growScout(hypothesis: Hypothesis, growth: Growth): void {
  if (!isScout(hypothesis, growth.played)) return;
  growth.limit = hypothesis.cost + SCOUT_STEP;
  grow(hypothesis, growth);
}

/** The scouts among some hypotheses that still may prove themselves, the one that fits best first. */
export function fittest(hypotheses: readonly Hypothesis[], played: number): Hypothesis[] {
  const misfit = (r: Hypothesis): number => r.cost - r.jumpedCost - LASTED * (played - r.jumpedAt);
  const scouts = hypotheses.filter((r) => isScout(r, played)).sort((a, b) => misfit(a) - misfit(b));
  return scouts.filter((r) => misfit(r) <= misfit(scouts[0]!) + SCOUT_DEPTH);
}

function isScout({ jumpedAt }: Hypothesis, played: number): boolean {
  return jumpedAt >= 0 && jumpedAt > played - SCOUT_NOTES;
}
