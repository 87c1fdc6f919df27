// A course: the drills that answer what the run-throughs of a span have shown, worked in turns that change before one of
// them tires hands and lips, with the span in its context at the end. Short turns are common practice and teachers' advice
// (Horvath, Playing (Less) Hurt: do not stick to one passage), no trial.

import type { PrescribedDrill, Prescription } from './prescription.ts';

/** How it stands with one drill of a course. */
export interface CourseDrill {
  readonly drill: PrescribedDrill;
  /** Steps that it has, 1 or more. */
  readonly steps: number;
  /** Steps that are passed, counted from the first. */
  readonly passed: number;
  /** Local day of its last take; absent where it was never begun. */
  readonly day?: string;
}

export type Turn =
  /** Its last step is played once, clean, to see whether it has held since another day. */
  | { readonly kind: 'check'; readonly index: number; readonly minutes: number }
  /** It is begun, or taken up where it stands; `checks`: after the step before has been played once, clean. */
  | {
      readonly kind: 'drill';
      readonly index: number;
      readonly minutes: number;
      readonly checks: boolean;
    }
  | { readonly kind: 'context'; readonly minutes: number };

const TURN_MINUTES = 5;
const CHECK_MINUTES = 2;
/** What is kept for the end. */
const CONTEXT_MINUTES = 3;
const CONTEXT_SHARE = 0.2;

/** What of a prescription is drilled: going through it up the ladder comes when there is nothing else to do. */
export function drilled({ drills }: Prescription): readonly PrescribedDrill[] {
  const before = drills.filter(({ name, ladder }) => !(name === 'through' && ladder));
  return before.length > 0 ? before : drills;
}

/**
 * What to do next. `last`: the drill of the turn before; the same one comes twice in a row only where it is the only one
 * left.
 */
export function nextTurn(
  course: readonly CourseDrill[],
  {
    minutes,
    spentMinutes,
    today,
    last,
  }: {
    /** In all. */
    readonly minutes: number;
    readonly spentMinutes: number;
    /** The local day. */
    readonly today: string;
    readonly last?: number;
  },
): Turn {
  const context = Math.min(CONTEXT_MINUTES, Math.max(1, Math.round(minutes * CONTEXT_SHARE)));
  const left = minutes - spentMinutes - context;
  const atTheEnd: Turn = {
    kind: 'context',
    minutes: Math.max(1, Math.min(CONTEXT_MINUTES, Math.round(minutes - spentMinutes))),
  };
  if (left < 1) return atTheEnd;
  const toCheck = course.findIndex((one) => isPassed(one) && one.day !== today);
  if (toCheck >= 0)
    return { kind: 'check', index: toCheck, minutes: Math.min(CHECK_MINUTES, Math.floor(left)) };
  const open = course.flatMap((one, index) => (isPassed(one) ? [] : [index]));
  const index = open.find((one) => last !== undefined && one > last) ?? open[0];
  if (index === undefined) return atTheEnd;
  const { passed, day } = course[index]!;
  return {
    kind: 'drill',
    index,
    minutes: Math.max(1, Math.min(TURN_MINUTES, Math.floor(left))),
    checks: passed > 0 && day !== today,
  };
}

export function isPassed({ steps, passed }: CourseDrill): boolean {
  return passed >= steps;
}

/** A tenth faster, and no faster than the goal: for a course whose drills are all passed. */
export function nextCourseBpm(bpm: number, goalBpm: number): number {
  return Math.max(bpm, Math.min(Math.round(goalBpm), Math.round(bpm * 1.1)));
}
