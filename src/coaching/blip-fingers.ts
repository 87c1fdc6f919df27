// Which finger was late, or early, in a blip.

import type { Line } from '../drills/step.ts';
import { type LateFingers, lateFingers } from '../fingering/late-finger.ts';
import { type FingeredMusic, linePlan } from '../fingering/line-plan.ts';
import type { Tempo } from '../music/tempo.ts';
import type { Trouble } from '../take/verdict.ts';

/** Undefined where the trouble is no blip, and where no finger explains it. */
export function blipFingers(
  trouble: Trouble | undefined,
  music: FingeredMusic,
  line: Line,
  tempo: Tempo,
): LateFingers | undefined {
  if (trouble?.kind !== 'blip') return undefined;
  const plan = linePlan(music, line, tempo);
  const to = plan?.notes.findIndex(({ onset, grace }) => onset === trouble.before && !grace) ?? -1;
  const [from, next] = [plan?.plan[to - 1], plan?.plan[to]];
  if (!plan || !from || !next || plan.notes[to - 1]!.grace) return undefined;
  return lateFingers(plan.table, from, next, trouble.playedPitch - line.transposition);
}
