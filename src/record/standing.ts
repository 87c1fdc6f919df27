// Where a player stood in a row of steps when they left it: a fold over the takes.

import { dayOf, type EntryHeading } from './entry.ts';

/** A step by what it is called, in the order in which steps are worked. */
export interface StepName {
  readonly drill: string;
  readonly name: string;
}

export interface Standing {
  /** Index of the step that was being worked. */
  readonly next: number;
  /** The step before it had been passed, not skipped. */
  readonly passedBefore: boolean;
  /** Local day of the last take. */
  readonly day: string;
}

/**
 * `takes` of one player, music and span, in order of playing. Undefined where there is nothing to go on with: no take of
 * these steps, their first step still open, or all of them done. The last sitting counts, where it was one of these steps.
 */
export function standingOf(takes: readonly EntryHeading[], steps: readonly StepName[]): Standing | undefined {
  const last = takes.at(-1);
  if (!last || !isOf(last, steps)) return undefined;
  const next = last.onward || last.end === 'skipped' ? last.step + 1 : last.step;
  if (next === 0 || next >= steps.length) return undefined;
  const before = takes.findLast((take) => take.step === next - 1 && isOf(take, steps));
  return { next, passedBefore: before?.onward === true, day: dayOf(last) };
}

function isOf({ step, drill, stepName }: EntryHeading, steps: readonly StepName[]): boolean {
  const there = steps[step];
  return there !== undefined && there.drill === drill && there.name === stepName;
}
