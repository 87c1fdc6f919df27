// Finding a lost place. Jumping far away is so rare that a hypothesis which does it costs far more than the others at
// first, and only the notes that follow can prove it right. So while the likeliest hypothesis is in trouble, scouts are
// sent out: hypotheses that jump to each place where the note just played stands. They are kept beside the others by
// how well they have fitted since the jump, until one is as likely as the others or all have failed.

import { grow } from './grow.ts';
import type { Growth } from './growth.ts';
import type { Hypothesis } from './hypothesis.ts';
import { addFarJumps } from './jumps.ts';

/** The likeliest hypothesis is in trouble when its last few notes cost more than one slip. Judgement. */
const TROUBLE_NOTES = 4;
const TROUBLE = 6.5;
/** A scout is given up when it is not among the likeliest after so many notes. Judgement. */
const SCOUT_NOTES = 40;
/** One that fits so much worse than the best scout is given up at once. Judgement. */
const SCOUT_DEPTH = 12;
/** The most that one note may cost a scout: a slip, but not another jump. Judgement. */
const SCOUT_STEP = 8;
/** Each note since its jump counts so much in a scout's favour. Judgement. */
const LASTED = 1;

/**
 * Whether the last few notes cost the likeliest hypothesis too much: the one `before` the latest note, and the one
 * `now`.
 */
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

/** The scouts among these hypotheses that are worth keeping, the best first. */
export function fittest(hypotheses: readonly Hypothesis[], played: number): Hypothesis[] {
  const misfit = (r: Hypothesis): number => r.cost - r.jumpedCost - LASTED * (played - r.jumpedAt);
  const scouts = hypotheses.filter((r) => isScout(r, played)).sort((a, b) => misfit(a) - misfit(b));
  return scouts.filter((r) => misfit(r) <= misfit(scouts[0]!) + SCOUT_DEPTH);
}

function isScout({ jumpedAt }: Hypothesis, played: number): boolean {
  return jumpedAt >= 0 && jumpedAt > played - SCOUT_NOTES;
}
