// The passage's onsets as a step expects them: same ticks, grace notes and other ornaments with their onset.

import { onsetDurationTicks } from '../music/onset.ts';
import type { Passage } from '../music/passage.ts';
import { onsetNumbered } from '../music/span.ts';
import type { StepOnset } from './step.ts';

/** A range of onsets, numbered as in the passage, both ends inclusive. */
export interface OnsetRange {
  readonly first: number;
  readonly last: number;
}

/** The onsets of a range as written, ticks from the passage's start. */
export function stepOnsets(passage: Passage, { first, last }: OnsetRange): StepOnset[] {
  const onsets: StepOnset[] = [];
  for (let number = first; number <= last; number++) {
    const { tick, notes } = onsetNumbered(passage, number);
    const durationTicks = onsetDurationTicks({ tick, notes });
    const next = number < passage.onsets.length ? onsetNumbered(passage, number + 1).tick : passage.endTick;
    const restAfter = next > tick + durationTicks ? { restAfter: true as const } : {};
    onsets.push({ tick, durationTicks, notes, number, ...restAfter });
  }
  return onsets;
}
