// What became of an assignment: a fold over the takes of its steps.

import { type CleanTempo, cleanShare, cleanTempo } from '../coaching/clean-tempo.ts';
import { type IntervalProgress, intervalsOf, practisedTake } from '../coaching/progress.ts';
import { grouped } from '../music/grouped.ts';
import type { Span } from '../music/span.ts';
import { ROUNDED_BPM } from '../music/tempo.ts';
import { dayOf, type EntryHeading, type EntrySummary } from '../record/entry.ts';
import type { StepName } from '../record/standing.ts';
import { type Assignment, goalBpmOf } from './lesson.ts';

type OutcomeState =
  | 'not-begun'
  | 'under-way'
  /** Nothing of it is open any more, and some steps were skipped. */
  | 'skipped-some'
  | 'done';

export interface Outcome {
  readonly state: OutcomeState;
  readonly steps: number;
  /** Passed at the tempo that is asked for. */
  readonly passed: number;
  /** Names of steps that were skipped and not passed. */
  readonly skipped: readonly StepName[];
  /** Local day on which the last step was passed, where it is done. */
  readonly doneDay?: string;
  readonly takes: number;
  /** Of complete takes, 0 to 1; absent without one. */
  readonly cleanShare?: number;
  readonly cleanTempo: CleanTempo;
  /** The worst first. */
  readonly intervals: readonly IntervalProgress[];
}

/** An assignment as it was put to a pupil: its span, and its steps in order. */
export interface Asked {
  readonly assignment: Assignment;
  readonly span: Span;
  readonly steps: readonly StepName[];
}

/** `takes`: of one pupil, in order of playing, of whatever music. */
export function outcomeOf(asked: Asked, takes: readonly EntrySummary[]): Outcome {
  const { span, steps } = asked;
  const own = takesFor(asked, takes);
  const passing = passingOf(asked, own);
  const left = new Set(own.filter(({ end }) => end === 'skipped').map(keyOfTake));
  const skipped = steps.filter((step, i) => !passing[i] && left.has(keyOf(step)));
  const played = own.filter(({ end }) => end !== 'skipped');
  const passed = passing.filter((take) => take !== undefined);
  const practised = played.map(practisedTake);
  const share = cleanShare(practised);
  const state: OutcomeState =
    own.length === 0
      ? 'not-begun'
      : passed.length === steps.length
        ? 'done'
        : passed.length + skipped.length === steps.length
          ? 'skipped-some'
          : 'under-way';
  return {
    state,
    steps: steps.length,
    passed: passed.length,
    skipped,
    ...(state === 'done' ? { doneDay: passed.map(dayOf).sort().at(-1)! } : {}),
    takes: played.length,
    ...(share === undefined ? {} : { cleanShare: share }),
    cleanTempo: cleanTempo(practised, span),
    intervals: intervalsOf(played).filter(({ troubledShare }) => troubledShare > 0),
  };
}

/** Nothing of it is left to be worked. */
export function isOver({ state }: Outcome): boolean {
  return state === 'done' || state === 'skipped-some';
}

/** For each step of an assignment the first take with which it was passed at the tempo that is asked for. */
export function passingTakes<T extends EntryHeading>(asked: Asked, takes: readonly T[]): (T | undefined)[] {
  return passingOf(asked, takesFor(asked, takes));
}

/** `own`: takes of its steps. */
function passingOf<T extends EntryHeading>(
  { assignment, steps }: Asked,
  own: readonly T[],
): (T | undefined)[] {
  const firstOf = new Map<string, T>();
  for (const take of own) {
    if (!passes(take, assignment)) continue;
    const key = keyOfTake(take);
    if (!firstOf.has(key)) firstOf.set(key, take);
  }
  return steps.map((step) => firstOf.get(keyOf(step)));
}

function passes({ onward, clean, tempoBpm }: EntryHeading, assignment: Assignment): boolean {
  return onward && clean && tempoBpm >= goalBpmOf(assignment) - ROUNDED_BPM;
}

function takesFor<T extends EntryHeading>({ assignment, span, steps }: Asked, takes: readonly T[]): T[] {
  const drills = grouped(steps, ({ drill }) => drill);
  const asked = new Map([...drills].map(([drill, own]) => [drill, new Set(own.map(({ name }) => name))]));
  return takes.filter(
    (take) =>
      take.fingerprint === assignment.passage &&
      take.first === span.first &&
      take.last === span.last &&
      asked.get(take.drill)?.has(take.stepName),
  );
}

/** Tells the steps of an assignment apart. */
function keyOf({ drill, name }: StepName): string {
  return `${drill} ${name}`;
}

function keyOfTake({ drill, stepName: name }: EntryHeading): string {
  return keyOf({ drill, name });
}
