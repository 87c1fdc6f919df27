// --named-note: nobody needs to know how an instrument is set. The player plays one note that both know, and the
// transposition follows from what came in (naming-source.ts).

import { INSTRUMENTS, type InstrumentName } from '../music/instrument.ts';
import type { Passage } from '../music/passage.ts';
import { readSpelling, spellingToPitch } from '../music/pitch.ts';
import { shiftSemitones } from './source-argument.ts';
import { usage } from './usage-problem.ts';

/**
 * The sounding pitch of a note that is named as it is read: by the instrument, or where none is given by the passage's
 * first. What --shift adds to every note is added: a player who reads an octave above the part names the note that is
 * read.
 */
export function namedPitch(
  text: string,
  passage: Passage,
  {
    shift = '0',
    instrument,
  }: { readonly shift?: string | undefined; readonly instrument?: InstrumentName | undefined } = {},
): number {
  const spelling = readSpelling(text);
  if (!spelling) {
    throw usage(
      'option.named-note',
      `Cannot read the note "${text}": a letter, a sign and an octave are needed, such as C5 or F#4`,
    );
  }
  const { transposition } = INSTRUMENTS[instrument ?? passage.parts[0]?.instrument ?? 'keyboard'];
  return spellingToPitch(spelling) + transposition + shiftSemitones(shift);
}
