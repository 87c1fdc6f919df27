// How neighbouring notes are joined: overlap (legato) or gap (detached).

import type { Alignment } from '../matching/alignment.ts';
import type { Expectation } from '../matching/expectation.ts';
import type { PlayedNote } from '../music/played-note.ts';
import { type PedalChange, pedalDownAt } from './pedal.ts';
import type { Joint } from './verdict.ts';

/**
 * For each onset whose notes were released and whose successor was played: last release minus next onset. Where the
 * sustain pedal was down at the release there is none: the notes sound on.
 */
export function jointsOf(
  expectation: Expectation,
  played: readonly PlayedNote[],
  alignment: Alignment,
  onsetMicros: readonly (number | undefined)[],
  pedal: readonly PedalChange[],
): Joint[] {
  const released: (number | undefined)[] = onsetMicros.map(() => undefined);
  for (const { onset, verdict, played: by } of alignment.notes) {
    const off = verdict === 'right' && by !== undefined ? played[by]!.offMicros : undefined;
    if (off !== undefined) released[onset] = Math.max(released[onset] ?? off, off);
  }
  const joints: Joint[] = [];
  for (let from = 0; from + 1 < onsetMicros.length; from++) {
    const off = released[from];
    const next = onsetMicros[from + 1];
    if (off === undefined || next === undefined || onsetMicros[from] === undefined) continue;
    if (pedalDownAt(pedal, off)) continue;
    const slurred = expectation.onsets[from]!.notes.some((note) => note.slurred === true);
    joints.push({ from, overlapMicros: off - next, ...(slurred ? { slurred } : {}) });
  }
  return joints;
}
