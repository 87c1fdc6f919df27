// Made learners: the power law of practice with plateaus and forgetting, and what a day shows of it. Ours; the law as
// in Newell & Rosenbloom 1981 (from memory).

import { Random } from '../../src/simulation/random.ts';

export interface MadeDay {
  readonly day: number;
  readonly bpm: number;
}

/** The days on which a player practised, of `days` in a row, with the clean tempo that each showed. */
export function madeDays(seed: number, days: number): MadeDay[] {
  const random = new Random(seed);
  const start = random.between(50, 90);
  const goal = random.between(100, 160);
  const rate = random.between(0.2, 0.7);
  const noise = random.between(0.01, 0.04);
  const forgets = random.between(0, 0.03);
  const stallsFrom = random.chance(0.5) ? random.integer(3, days) : Number.POSITIVE_INFINITY;
  const stallsFor = random.integer(2, 6);
  const seen: MadeDay[] = [];
  let worked = 0;
  for (let day = 0; day < days; day++) {
    if (day > 0 && !random.chance(0.75)) continue;
    const stalled = day >= stallsFrom && day < stallsFrom + stallsFor;
    if (!stalled) worked += 1;
    const gap = seen.length === 0 ? 0 : day - seen.at(-1)!.day - 1;
    const truth = goal - (goal - start) * Math.max(1, worked) ** -rate - goal * forgets * gap;
    seen.push({ day, bpm: truth * Math.exp(random.normal(0, noise)) });
  }
  return seen;
}
