// Notes outside an instrument's range, as warnings: a range is practical, never a reason to refuse.

import { INSTRUMENTS } from '../music/instrument.ts';
import type { Passage } from '../music/passage.ts';
import { spellingName, spellingToPitch } from '../music/pitch.ts';

/** One sentence a part, in written note names. */
export function rangeWarnings(passage: Passage): string[] {
  const byPart = passage.parts.map(() => new Map<string, number>());
  passage.onsets.forEach((onset, i) => {
    for (const { part, spelling } of onset.notes) {
      const { lowest, highest } = INSTRUMENTS[passage.parts[part]!.instrument];
      const written = spellingToPitch(spelling);
      if (written >= lowest && written <= highest) continue;
      const spelled = spellingName(spelling);
      if (!byPart[part]!.has(spelled)) byPart[part]!.set(spelled, i + 1);
    }
  });
  return passage.parts.flatMap((part, index) => {
    const outside = byPart[index]!;
    if (outside.size === 0) return [];
    const { name } = INSTRUMENTS[part.instrument];
    const shown = [...outside].slice(0, 5).map(([spelled, onset]) => `${spelled} (onset ${onset})`);
    return [`Outside the range of the ${name}: ${shown.join(', ')}${outside.size > 5 ? ', ...' : ''}`];
  });
}
