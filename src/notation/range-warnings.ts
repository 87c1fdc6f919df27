// Notes outside an instrument's range, as warnings: a range is practical, never a reason to refuse.

import { INSTRUMENTS } from '../music/instrument.ts';
import type { Passage } from '../music/passage.ts';
import { spellingName, spellingToPitch } from '../music/pitch.ts';

/** One sentence a part, in written note names. */
export function rangeWarnings(passage: Passage): string[] {
  return passage.parts.flatMap((part, index) => {
    const { name, lowest, highest } = INSTRUMENTS[part.instrument];
    const outside = new Map<string, number>();
    passage.onsets.forEach((onset, i) => {
      for (const note of onset.notes) {
        const written = spellingToPitch(note.spelling);
        if (note.part !== index || (written >= lowest && written <= highest)) continue;
        const spelled = spellingName(note.spelling);
        if (!outside.has(spelled)) outside.set(spelled, i + 1);
      }
    });
    if (outside.size === 0) return [];
    const shown = [...outside].slice(0, 5).map(([spelled, onset]) => `${spelled} (onset ${onset})`);
    return [`Outside the range of the ${name}: ${shown.join(', ')}${outside.size > 5 ? ', ...' : ''}`];
  });
}
