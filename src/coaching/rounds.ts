// The ladder for a drill as a whole: all its steps at one tempo, a round; then the next rung. While nothing is missed the
// strides are long far from the goal; misses on a step bring the tempo down a rung, and the round goes on from there,
// for what was passed faster is passed slower too.

import { ROUNDED_BPM } from '../music/tempo.ts';
import { climb, currentBpm, type Ladder } from './ladder.ts';

/** Rungs of the longest stride: about 12 % with rungs of 3 %. */
const LONGEST_STRIDE = 4;

/** What a take leads to. `done`: the goal has been held, and the ladder's steps are through. */
export type Climb = 'again' | 'next-step' | 'next-round' | 'done';

export interface LadderTake {
  readonly clean: boolean;
  /** Its step is the drill's last: when it is passed, the round is over. */
  readonly lastStep: boolean;
}

/** The ladder after a take at its tempo, and what comes next; of a ladder for each step alone, its own staircase. */
export function climbAfter(
  ladder: Ladder,
  take: LadderTake,
): { readonly ladder: Ladder; readonly next: Climb } {
  if (ladder.plan.by === 'step') {
    const climbed = climb(ladder, take.clean);
    return { ladder: climbed, next: climbed.done ? 'done' : 'again' };
  }
  const { plan, turn } = ladder;
  if (ladder.done) return { ladder, next: 'done' };
  // A look at the goal moves nothing: the step had been passed before the look, and that counts now.
  if (turn === 'goal') return concluded({ ...ladder, turn: 'rung' }, take.lastStep);
  if (!take.clean) return { ladder: afterMiss(ladder), next: 'again' };
  const counted = { ...ladder, cleanInRow: ladder.cleanInRow + 1, misses: 0 };
  const looks = plan.alternate && !isOnTop(ladder);
  return looks ? { ladder: { ...counted, turn: 'goal' }, next: 'again' } : concluded(counted, take.lastStep);
}

/** Another step is come to by hand: the rung stays, what was counted on the old step does not. */
export function onOtherStep(ladder: Ladder): Ladder {
  return ladder.plan.by === 'step' ? ladder : { ...ladder, cleanInRow: 0, misses: 0, turn: 'rung' };
}

/**
 * The ladder that a row of kept takes has led to, from where it started: the same climb that was made live. Takes slower
 * than the rung, at a tempo of the player's own, count for nothing.
 */
export function ladderAfter(
  start: Ladder,
  takes: readonly (LadderTake & { readonly bpm: number })[],
): Ladder {
  return takes.reduce((ladder, take) => {
    const slower = take.bpm < currentBpm(ladder) - ROUNDED_BPM;
    return slower ? ladder : climbAfter(ladder, take).ladder;
  }, start);
}

function concluded(ladder: Ladder, lastStep: boolean): { readonly ladder: Ladder; readonly next: Climb } {
  if (ladder.cleanInRow < ladder.plan.up) return { ladder, next: 'again' };
  const passed = { ...ladder, cleanInRow: 0, misses: 0 };
  if (!lastStep) return { ladder: passed, next: 'next-step' };
  if (isOnTop(ladder)) return { ladder: { ...passed, done: true }, next: 'done' };
  const remaining = ladder.rungs.length - 1 - ladder.rung;
  const stride = ladder.jumping ? Math.max(1, Math.min(LONGEST_STRIDE, Math.floor(remaining / 2))) : 1;
  // Whether the next stride may be long is for the next round to show.
  return { ladder: { ...passed, rung: ladder.rung + stride, stride, jumping: true }, next: 'next-round' };
}

function afterMiss(ladder: Ladder): Ladder {
  const misses = ladder.misses + 1;
  const missed = { ...ladder, cleanInRow: 0, jumping: false };
  if (misses < ladder.plan.down) return { ...missed, misses };
  return { ...missed, rung: Math.max(0, ladder.rung - 1), misses: 0 };
}

function isOnTop({ rung, rungs }: Ladder): boolean {
  return rung === rungs.length - 1;
}
