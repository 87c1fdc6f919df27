// Options that would do nothing with the others that were given: refused, so that nobody waits for what will not come.

import type { Drill } from '../drills/drill.ts';
import { USERS } from '../drills/settings-text.ts';
import type { DrillOptions, SessionOptions } from './session-options.ts';
import { usage } from './usage-problem.ts';

/** Drills that work at a snag. */
export const SNAG_DRILLS: readonly string[] = USERS.snag;

export function refuseIdleDrillOptions(drills: readonly Drill[], options: DrillOptions): void {
  const names = drills.map((drill) => drill.name);
  for (const name of Object.keys(USERS) as (keyof typeof USERS)[]) {
    const users: readonly string[] = USERS[name];
    if (options[name] === undefined || names.some((drill) => users.includes(drill))) continue;
    throw usage(
      'option.idle',
      `Cannot use --${name} with ${names.join(', ')}: it would change nothing there`,
      `It is for ${users.join(' and ')}.`,
    );
  }
}

/** The tempo and the number of takes are the ladder's to say; without one there is nothing to climb. */
export function refuseIdleLadderOptions(options: SessionOptions): void {
  if (options.ladder === undefined) {
    const lonely = (['up', 'jump', 'alternate', 'stepByStep'] as const).find(
      (name) => options[name] !== undefined,
    );
    if (lonely)
      throw usage(
        'option.ladder',
        `Cannot use --${lonely === 'stepByStep' ? 'step-by-step' : lonely}: there is no ladder to climb`,
        'Give one, such as --ladder 60-96.',
      );
    return;
  }
  if (options.tempo !== undefined)
    throw usage(
      'option.ladder',
      'Cannot use --tempo with --ladder: the ladder says how fast each take is',
      `Leave out one of them, or let it begin there: --ladder ${options.tempo}-GOAL.`,
    );
  if (options.jump && !options.stepByStep)
    throw usage(
      'option.ladder',
      'Cannot use --jump with a ladder for the drill as a whole: its strides are long in any case while nothing is missed',
      'With --step-by-step every step climbs a ladder of its own.',
    );
  if (options.passes !== undefined)
    throw usage(
      'option.ladder',
      'Cannot use --passes with --ladder: a step is done when its top rung is held',
      '--up says how many clean takes lead a rung up.',
    );
}

/** A passage that is written as it is has no drill's options. */
export function refuseDrillOptions(options: DrillOptions): void {
  const names = ['tempo', 'snag', 'every', 'hold', 'note', 'variant', 'pulse'] as const;
  const idle = names.find((name) => options[name] !== undefined);
  if (idle === undefined) return;
  throw usage(
    'option.idle',
    `Cannot use --${idle} without a drill: the passage is written as it is`,
    'Give one too, such as --drill landings.',
  );
}

/** Who follows another machine's clock has its tempo. */
export function refuseIdleClockOptions(options: SessionOptions & { readonly clock?: string }): void {
  if (!options.clock?.startsWith('follow:')) return;
  const idle = (['tempo', 'ladder'] as const).find((name) => options[name] !== undefined);
  if (idle === undefined) return;
  throw usage(
    'option.clock',
    `Cannot use --${idle} with --clock ${options.clock}: the tempo is the other machine's`,
    'Set it there, or send the clock from here: --clock send:PORT.',
  );
}
