// The tempo ladder: one way to run any drill. Up a rung after so many clean takes in a row, down after a miss. This is
// a transformed up-down staircase (Levitt 1971, JASA 49:467-477): it settles where going up and going down are equally
// likely, so with one miss a step down it finds the tempo at which a take is clean with probability p, p^up = 1/2:
// 70.7 % for two in a row, 79.4 % for three. Immutable plain data: it may be kept as JSON and taken up again.

import { LEAST_BPM, MOST_BPM } from '../music/tempo.ts';
import { EXIT, fail, ok, type Result } from '../problem.ts';
import type { LadderPlan } from '../record/ladder-plan.ts';
import { ladderRungs } from './ladder-rungs.ts';

const LADDER_DEFAULTS = {
  by: 'step',
  up: 2,
  down: 1,
  stepShare: 0.03,
  jump: false,
  alternate: false,
} as const satisfies Partial<LadderPlan>;

export type LadderWishes = Pick<LadderPlan, 'startBpm' | 'goalBpm'> & Partial<LadderPlan>;

export interface Ladder {
  readonly plan: LadderPlan;
  /** Tempi from start to goal, rising. */
  readonly rungs: readonly number[];
  /** Index of the rung stood on. */
  readonly rung: number;
  readonly cleanInRow: number;
  readonly misses: number;
  /** Rungs of the next move up, 1 or more. */
  readonly stride: number;
  /** Still jumping: nothing has been missed yet. */
  readonly jumping: boolean;
  /** Which tempo the next take has. */
  readonly turn: 'rung' | 'goal';
  /** Clean looks at the goal in a row. */
  readonly goalCleanInRow: number;
  /** The goal has been held: `up` clean takes in a row there. */
  readonly done: boolean;
}

const LONGEST_STRIDE = 4;

export function startLadder(wishes: LadderWishes): Result<Ladder> {
  const plan: LadderPlan = { ...LADDER_DEFAULTS, ...wishes };
  const problem = troubleWith(plan);
  if (problem) return fail({ ...problem, exitStatus: EXIT.usage });
  return ok({
    plan,
    rungs: ladderRungs(plan),
    rung: 0,
    cleanInRow: 0,
    misses: 0,
    stride: 1,
    jumping: plan.jump || plan.by === 'round',
    turn: 'rung',
    goalCleanInRow: 0,
    done: false,
  });
}

/** Tempo of the next take. */
export function currentBpm(ladder: Ladder): number {
  return ladder.turn === 'goal' ? ladder.plan.goalBpm : ladder.rungs[ladder.rung]!;
}

/** The ladder after a take at `currentBpm`. A ladder that is done stays as it is. */
export function climb(ladder: Ladder, clean: boolean): Ladder {
  if (ladder.done) return ladder;
  if (ladder.turn === 'goal') return lookedAtGoal(ladder, clean);
  const moved = clean ? afterClean(ladder) : afterMiss(ladder);
  const atGoal = moved.rung === moved.rungs.length - 1;
  return moved.plan.alternate && !moved.done && !atGoal ? { ...moved, turn: 'goal' } : moved;
}

/** Looks at the goal move nothing, but when they are clean often enough in a row the goal is held. */
function lookedAtGoal(ladder: Ladder, clean: boolean): Ladder {
  const goalCleanInRow = clean ? ladder.goalCleanInRow + 1 : 0;
  const done = goalCleanInRow >= ladder.plan.up;
  return {
    ...ladder,
    turn: 'rung',
    goalCleanInRow,
    done,
    rung: done ? ladder.rungs.length - 1 : ladder.rung,
  };
}

function afterClean(ladder: Ladder): Ladder {
  const { plan, rungs, rung, stride, jumping } = ladder;
  const cleanInRow = ladder.cleanInRow + 1;
  if (cleanInRow < plan.up) return { ...ladder, cleanInRow };
  if (rung === rungs.length - 1) return { ...ladder, cleanInRow, done: true };
  return {
    ...ladder,
    rung: Math.min(rungs.length - 1, rung + stride),
    cleanInRow: 0,
    misses: 0,
    stride: jumping ? Math.min(LONGEST_STRIDE, stride * 2) : 1,
  };
}

/** Long strides end for good at the first miss: Levitt, too, begins with large steps and goes on with small ones. */
function afterMiss(ladder: Ladder): Ladder {
  const misses = ladder.misses + 1;
  const missed = { ...ladder, cleanInRow: 0, stride: 1, jumping: false };
  if (misses < ladder.plan.down) return { ...missed, misses };
  return { ...missed, rung: Math.max(0, ladder.rung - 1), misses: 0 };
}

interface Trouble {
  readonly code: string;
  readonly message: string;
  readonly hint: string;
}

function troubleWith(plan: LadderPlan): Trouble | undefined {
  const { startBpm, goalBpm, up, down, stepShare, rungCount } = plan;
  for (const [name, bpm] of [
    ['start', startBpm],
    ['goal', goalBpm],
  ] as const) {
    if (Number.isFinite(bpm) && bpm >= LEAST_BPM && bpm <= MOST_BPM) continue;
    return trouble(
      'tempo',
      `a ${name} of ${bpm} is no tempo`,
      `A tempo is ${LEAST_BPM} to ${MOST_BPM} beats a minute.`,
    );
  }
  if (goalBpm < startBpm) {
    return trouble(
      'goal-below-start',
      `the goal ${goalBpm} is below the start ${startBpm}`,
      'Did you swap them?',
    );
  }
  for (const [name, count] of [
    ['up', up],
    ['down', down],
  ] as const) {
    if (Number.isInteger(count) && count >= 1 && count <= 20) continue;
    return trouble(
      name,
      `${count} takes for a rung ${name} cannot be counted`,
      'Between 1 and 20 can be asked.',
    );
  }
  if (!(stepShare >= 0.005 && stepShare <= 0.5)) {
    return trouble(
      'step',
      `a rung of ${stepShare} is no step`,
      'A share of 0.02 to 0.04 (2 to 4 %) is usual, 0.005 to 0.5 possible.',
    );
  }
  if (rungCount !== undefined && !(Number.isInteger(rungCount) && rungCount >= 2 && rungCount <= 200)) {
    return trouble(
      'rungs',
      `${rungCount} rungs cannot be made`,
      'Between 2 and 200 can be asked, start and goal counted.',
    );
  }
  return undefined;
}

function trouble(code: string, state: string, hint: string): Trouble {
  return { code: `ladder.${code}`, message: `Cannot set up the ladder: ${state}`, hint };
}
