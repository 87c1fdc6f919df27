// --named-note: nobody needs to know how an instrument is set. The player plays one note that both know, and the
// transposition follows from what came in (naming-source.ts).

import { INSTRUMENTS } from '../music/instrument.ts';
import type { Passage } from '../music/passage.ts';
import { readSpelling, spellingToPitch } from '../music/pitch.ts';
import { usage } from './usage-problem.ts';

/** The sounding pitch of a note as the passage's (first) instrument reads it. */
export function namedPitch(text: string, passage: Passage): number {
  const spelling = readSpelling(text);
  if (!spelling) {
    throw usage(
      'option.named-note',
      `Cannot read the note "${text}": a letter, a sign and an octave are needed, such as C5 or F#4`,
    );
  }
  return spellingToPitch(spelling) + INSTRUMENTS[passage.parts[0]?.instrument ?? 'keyboard'].transposition;
}
