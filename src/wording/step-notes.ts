// The notes of a step in a line.

import { onsetsOfAll, type Step, type StepOnset } from '../drills/step.ts';
import { requiredNotes } from '../music/onset.ts';
import { spellingName } from '../music/pitch.ts';

/** Grace notes before their onset in small letters, chords with plus signs. @example 'g#4-A4', 'C4+E4+G4' */
function onsetText(onset: StepOnset): string {
  const graces = onset.notes.filter((note) => note.ornament === 'grace');
  const small = graces.map((note) => `${spellingName(note.spelling).toLowerCase()}-`).join('');
  return `${small}${requiredNotes(onset)
    .map((note) => spellingName(note.spelling))
    .join('+')}`;
}

/**
 * All that a step asks for: `_` after notes that are longer than the shortest, the note to lean on, the landing and its
 * hold. @example 'A4 C5_ lean [B4] hold 2'
 */
export function stepNotes(step: Step): string {
  const { run } = step;
  const onsets = onsetsOfAll(step);
  const marks = lengthMarks(onsets);
  return onsets
    .map((onset, i) => {
      const text = onsetText(onset);
      if (run.landing && i === onsets.length - 1) return `[${text}]${holdText(run.holdBeats)}`;
      return `${text}${marks[i]}${onset.leanTicks === undefined ? '' : ' lean'}`;
    })
    .join(' ');
}

/** By onset: a line after those that last longer than the shortest until the next, a longer one from four times as long. */
export function lengthMarks(onsets: readonly StepOnset[]): readonly string[] {
  const lengths = onsets.slice(1).map(({ tick }, i) => tick - onsets[i]!.tick);
  const shortest = Math.min(...lengths);
  return onsets.map((_, i) => {
    const longer = (lengths[i] ?? shortest) / shortest;
    return longer >= 3.9 ? '__' : longer >= 1.4 ? '_' : '';
  });
}

/** @example holdText(2) // ' hold 2' */
export function holdText(holdBeats: number): string {
  return holdBeats > 0 ? ` hold ${holdBeats}` : '';
}
