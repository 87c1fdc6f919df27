// What a session knows of the fingers: the marks under the notes of a line, and which finger was late in a blip. Worked
// out when a line is looked at, for a drill may have a million notes of which one lap at a time is played.

import type { Line, Step } from '../drills/step.ts';
import { lateFingers } from '../fingering/late-finger.ts';
import { type PartPlan, passagePlan } from '../fingering/passage-plan.ts';
import { type StepPlan, stepPlan } from '../fingering/step-plan.ts';
import type { Pitch } from '../music/pitch.ts';
import type { Tempo } from '../music/tempo.ts';
import { fingeringMarks, lateFingerWords } from '../wording/fingering.ts';
import type { SessionPlan } from './plan.ts';

/** What of a session's plan the fingers depend on. */
export type FingeredMusic = Pick<SessionPlan, 'span' | 'keywork'>;

/** Marks that were worked out already: the same line of the same plan has the same ones. */
const KNOWN = new WeakMap<FingeredMusic, WeakMap<Line, readonly string[]>>();

/** Fingerings to mark, one for each onset, '' where nothing needs a decision; none where the instrument has no table. */
export function fingersOf(music: FingeredMusic, line: Line, tempo: Tempo): readonly string[] {
  const known = KNOWN.get(music) ?? new WeakMap<Line, readonly string[]>();
  KNOWN.set(music, known);
  const marks = known.get(line) ?? marksByOnset(linePlan(music, line, tempo), line);
  known.set(line, marks);
  return marks;
}

/** Which finger was late, or early, when a pitch sounded before an onset of the line; undefined where none explains it. */
export function lateFingerBefore(
  music: FingeredMusic,
  line: Line,
  tempo: Tempo,
): (before: number, heard: Pitch) => string | undefined {
  return (before, heard) => {
    const plan = linePlan(music, line, tempo);
    const to = plan?.notes.findIndex(({ onset, grace }) => onset === before && !grace) ?? -1;
    const [from, next] = [plan?.plan[to - 1], plan?.plan[to]];
    if (!plan || !from || !next || plan.notes[to - 1]!.grace) return undefined;
    const late = lateFingers(plan.table, from, next, heard - line.transposition);
    return late && lateFingerWords(late);
  };
}

/** In how many notes a drill shows whether its order needs fingerings of its own. */
const NOTES_LOOKED_AT = 2000;

/** Why a drill's first steps are fingered otherwise than the passage; undefined where they are not. */
export function ownFingering(music: FingeredMusic, steps: readonly Step[]): StepPlan['own'] {
  const plans = plansOf(music);
  if (plans.length === 0) return undefined;
  let notes = 0;
  for (const { run, lines } of steps) {
    const own = planFor(plans, lines[0]!, run.tempo)?.own;
    if (own) return own;
    notes += lines[0]!.onsets.length;
    if (notes > NOTES_LOOKED_AT) return undefined;
  }
  return undefined;
}

function plansOf({ span, keywork }: FingeredMusic): readonly PartPlan[] {
  const planned = passagePlan(span.passage, keywork);
  return planned.ok ? planned.value : [];
}

function linePlan(music: FingeredMusic, line: Line, tempo: Tempo): StepPlan | undefined {
  return planFor(plansOf(music), line, tempo);
}

/** Of a line that one part makes up: several parts are no one's fingers. */
function planFor(plans: readonly PartPlan[], line: Line, tempo: Tempo): StepPlan | undefined {
  if (line.parts.length !== 1) return undefined;
  const plan = plans.find(({ part }) => part === line.parts[0]);
  return plan && stepPlan(plan, line.onsets, tempo);
}

function marksByOnset(plan: StepPlan | undefined, { onsets }: Line): string[] {
  const marks = plan ? fingeringMarks(plan) : undefined;
  return marks?.size ? onsets.map((_, i) => marks.get(i + 1) ?? '') : [];
}
