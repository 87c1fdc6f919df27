// The steps of a drill that must not refuse, and the problem of one that must.

import type { Drill, DrillSettings } from '../../src/drills/drill.ts';
import type { Step } from '../../src/drills/step.ts';
import type { Span } from '../../src/music/span.ts';
import type { Problem, Result } from '../../src/problem.ts';

export function made(drill: Drill, span: Span, settings: Partial<DrillSettings> = {}): readonly Step[] {
  return value(drill.makeSteps(span, { tempo: span.passage.tempo, ...settings }));
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
