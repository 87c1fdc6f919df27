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
  /** Index of the passed step that lies before it, with nothing but skipped ones between; undefined where none does. */
  readonly lastPassed?: number;
  /** Indexes of the steps before it that were skipped and have never been passed. */
  readonly skipped: readonly number[];
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
  const passed = new Set(own.filter(({ onward }) => onward).map(({ step }) => step));
  const left = new Set(own.filter(({ end }) => end === 'skipped').map(({ step }) => step));
  const skipped = [...left].filter((step) => step < next && !passed.has(step)).sort((a, b) => a - b);
  let before = next - 1;
  while (skipped.includes(before)) before -= 1;
  const held = own.findLast((take) => take.step === before)?.onward === true;
  return {
    next,
    ...(held ? { lastPassed: before } : {}),
    skipped,
    day: dayOf(last),
    tempoBpm: last.tempoBpm,
  };
}

function isOf({ step, drill, stepName }: EntryHeading, steps: readonly StepName[]): boolean {
  const there = steps[step];
  return there !== undefined && there.drill === drill && there.name === stepName;
}
