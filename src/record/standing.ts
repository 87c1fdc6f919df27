// Where a player stood in a row of steps when they left it: a fold over the takes.

import { dayOf, type EntryHeading } from './entry.ts';

/** A step by what it is called, in the order in which steps are worked. */
export interface StepName {
  readonly drill: string;
  readonly name: string;
}

export interface Standing {
  /** Index of the step that was being worked; their number where all are done. */
  readonly next: number;
  /** The step before it had been passed, not skipped. */
  readonly passedBefore: boolean;
  /** Local day of the last take, and its tempo. */
  readonly day: string;
  readonly tempoBpm: number;
}

/**
 * `takes` of one player, music and span, in order of playing. Undefined where none was of these steps; what was played
 * of others meanwhile does not count.
 */
export function standingOf(takes: readonly EntryHeading[], steps: readonly StepName[]): Standing | undefined {
  const own = takes.filter((take) => isOf(take, steps));
  const last = own.at(-1);
  if (!last) return undefined;
  const next = last.onward || last.end === 'skipped' ? last.step + 1 : last.step;
  const before = own.findLast((take) => take.step === next - 1);
  return { next, passedBefore: before?.onward === true, day: dayOf(last), tempoBpm: last.tempoBpm };
}

function isOf({ step, drill, stepName }: EntryHeading, steps: readonly StepName[]): boolean {
  const there = steps[step];
  return there !== undefined && there.drill === drill && there.name === stepName;
}
