// The steps of a drill that must not refuse, and the problem of one that must.

import type { Drill, DrillSettings } from '../../src/drills/drill.ts';
import type { Line, Run, Step } from '../../src/drills/step.ts';
import type { Span } from '../../src/music/span.ts';
import type { Problem, Result } from '../../src/problem.ts';

/** A step whose run and only line are looked at together; what is written when looked at stays so. */
export type OneLine = Step & Run & Line;

export function oneLine(step: Step): OneLine {
  const properties = [step.run, ...step.lines].map((part) => Object.getOwnPropertyDescriptors(part));
  return Object.defineProperties({ ...step }, Object.assign({}, ...properties)) as OneLine;
}

export function made(drill: Drill, span: Span, settings: Partial<DrillSettings> = {}): readonly OneLine[] {
  return value(drill.makeSteps(span, { tempo: span.passage.tempo, ...settings })).map(oneLine);
}

export function refused(drill: Drill, span: Span, settings: Partial<DrillSettings> = {}): Problem {
  return problem(drill.makeSteps(span, { tempo: span.passage.tempo, ...settings }));
}

export function value<T>(result: Result<T>): T {
  if (!result.ok) throw new Error(`${result.problem.message} ${result.problem.hint ?? ''}`);
  return result.value;
}

export function problem(result: Result<unknown>): Problem {
  if (result.ok) throw new Error('expected a refusal');
  return result.problem;
}
