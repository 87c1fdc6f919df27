// Drills in a row, each with its own gate: one drill's steps must all be passed before the next drill begins.

import type { Span } from '../music/span.ts';
import { ok, type Result } from '../problem.ts';
import { findDrill } from './catalogue.ts';
import { type ClickPlacement, placeClicksInRow } from './click-placement.ts';
import type { Drill, DrillSettings } from './drill.ts';
import { refuse } from './refusal.ts';
import type { Step } from './step.ts';

export interface DrillRun {
  readonly drill: Drill;
  /** Never empty. */
  readonly steps: readonly Step[];
  /** Clean takes in a row that open this drill's gate at each step. */
  readonly passes: number;
}

export interface PlanSettings extends DrillSettings {
  /** 3 when nothing is said. */
  readonly passes?: number;
  readonly click?: ClickPlacement;
}

/** All or nothing: the first drill that refuses is the answer, with its name. */
export function planDrills(
  names: readonly string[],
  span: Span,
  settings: PlanSettings,
): Result<readonly DrillRun[]> {
  const { passes = 3, click = 'beat' } = settings;
  if (names.length === 0) {
    return refuse(
      'none',
      'Cannot plan the work: no drill is named',
      'Name one, or several with commas between them.',
    );
  }
  if (!Number.isInteger(passes) || passes < 1 || passes > 20) {
    return refuse(
      'passes-range',
      `Cannot ask for ${passes} clean takes in a row: 1 to 20 can be asked`,
      'Three is usual.',
    );
  }
  const runs: DrillRun[] = [];
  for (const name of names) {
    const drill = findDrill(name);
    if (!drill.ok) return drill;
    const steps = drill.value.makeSteps(span, settings);
    if (!steps.ok) return steps;
    runs.push({ drill: drill.value, steps: placeClicksInRow(steps.value, click), passes });
  }
  return ok(runs);
}
