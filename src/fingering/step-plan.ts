// The fingerings of a drill's step: those of its passage, for what was decided there is what the hands should learn.
// Only where the drill has notes of its own, or an order (backwards, say) in which the passage's fingerings would slide
// and others would not, it has a plan of its own, and says so.

import type { Onset } from '../music/onset.ts';
import type { Tempo } from '../music/tempo.ts';
import { slidesOf } from './decision.ts';
import { fingeredLine } from './line.ts';
import { type PartPlan, planOfLine, withPlan } from './passage-plan.ts';
import { type Planned, planFingerings } from './plan.ts';
import type { FingeringTable } from './table.ts';

export interface StepPlan extends PartPlan {
  /** Why the plan is not the passage's: `order` would make it slide, or the step has other `notes`. */
  readonly own?: 'order' | 'notes';
}

/** @param onsets Of the step; `number` is that of the passage's onset. */
export function stepPlan(
  passage: PartPlan,
  onsets: readonly (Pick<Onset, 'tick' | 'notes'> & { readonly number: number })[],
  tempo: Tempo,
): StepPlan {
  const { part, table } = passage;
  const { notes } = fingeredLine(onsets, part, tempo);
  const decided = new Map(
    passage.notes.map(({ onset, pitch }, i) => [`${onset + 1} ${pitch}`, passage.plan[i]]),
  );
  const kept = notes.map(({ onset, pitch }) => decided.get(`${onsets[onset]!.number} ${pitch}`));
  if (kept.some((fingering, i) => !fingering && table.ofPitch.has(notes[i]!.pitch))) {
    return { ...planOfLine(part, table, notes), own: 'notes' };
  }
  // A stretch of the passage keeps its plan whatever it would do on its own: it is practised for the whole.
  const inOrder = onsets.every(({ number }, i) => i === 0 || number === onsets[i - 1]!.number + 1);
  if (inOrder) return withPlan(part, table, notes, kept);
  const free = planFingerings(table, notes);
  if (leaps(table, free) < leaps(table, kept)) return { ...withPlan(part, table, notes, free), own: 'order' };
  return withPlan(part, table, notes, kept);
}

function leaps(table: FingeringTable, plan: readonly Planned[]): number {
  return slidesOf(table, plan).filter(({ shift }) => shift.kind === 'leap').length;
}
