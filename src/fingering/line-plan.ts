// The fingerings of the line that one player is given, worked out when it is looked at: a drill may have a million notes
// of which one lap at a time is played.

import type { Onset } from '../music/onset.ts';
import type { Span } from '../music/span.ts';
import type { Tempo } from '../music/tempo.ts';
import type { Keywork } from './fingering.ts';
import { type PartPlan, passagePlan } from './passage-plan.ts';
import { type StepPlan, stepPlan } from './step-plan.ts';

/** What fingerings depend on beside the notes of the line. */
export interface FingeredMusic {
  readonly span: Span;
  /** What the instrument has of the keywork that not all have; as usual where not told. */
  readonly keywork?: readonly Keywork[];
}

/** Notes to be played by one player. */
interface PlayedLine {
  /** Indexes of the passage's parts that make it up. */
  readonly parts: readonly number[];
  /** `number` is that of the passage's onset. */
  readonly onsets: readonly (Pick<Onset, 'tick' | 'notes'> & { readonly number: number })[];
}

/** Plans that were made already: the same line of the same music has the same one. */
const KNOWN = new WeakMap<FingeredMusic, WeakMap<PlayedLine, StepPlan | undefined>>();

/** Undefined where the instrument has no table, and where several parts make up the line: they are no one's fingers. */
export function linePlan(music: FingeredMusic, line: PlayedLine, tempo: Tempo): StepPlan | undefined {
  const known = KNOWN.get(music) ?? new WeakMap<PlayedLine, StepPlan | undefined>();
  KNOWN.set(music, known);
  if (!known.has(line)) known.set(line, planFor(partPlans(music), line, tempo));
  return known.get(line);
}

/** In how many notes a drill shows whether its order needs fingerings of its own. */
const NOTES_LOOKED_AT = 2000;

/** Why a drill's first steps are fingered otherwise than the passage; undefined where they are not. */
export function ownFingering(
  music: FingeredMusic,
  steps: readonly { readonly run: { readonly tempo: Tempo }; readonly lines: readonly PlayedLine[] }[],
): StepPlan['own'] {
  const plans = partPlans(music);
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

function partPlans({ span, keywork }: FingeredMusic): readonly PartPlan[] {
  const planned = passagePlan(span.passage, keywork);
  return planned.ok ? planned.value : [];
}

function planFor(plans: readonly PartPlan[], line: PlayedLine, tempo: Tempo): StepPlan | undefined {
  if (line.parts.length !== 1) return undefined;
  const plan = plans.find(({ part }) => part === line.parts[0]);
  return plan && stepPlan(plan, line.onsets, tempo);
}
