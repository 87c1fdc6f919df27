// Transposing written names by semitones along the line of fifths, so that intervals keep their names: up a whole
// tone is up a second, F# becomes G#, and keys move with the notes.

import { type Letter, type Spelling, spellingToPitch } from './pitch.ts';

/** Letters along the line of fifths; F is 0, each sharp adds seven. */
const FIFTHS: readonly Letter[] = ['F', 'C', 'G', 'D', 'A', 'E', 'B'];

/** How many fifths a number of semitones is, the shortest way: -6 to 5. @example fifthsOfSemitones(2) // 2 */
function fifthsOfSemitones(semitones: number): number {
  return ((((semitones * 7 + 6) % 12) + 12) % 12) - 6;
}

/**
 * A key signature moved by semitones; one of more than seven accidentals becomes its enharmonic twin.
 * @example shiftFifths(0, 2) // 2: C major a whole tone up is D major
 */
export function shiftFifths(fifths: number, semitones: number): number {
  const moved = fifths + fifthsOfSemitones(semitones);
  if (moved > 7) return moved - 12;
  return moved < -7 ? moved + 12 : moved;
}

/** A written name moved by semitones. More than a double accidental becomes its enharmonic twin. */
export function transposeSpelling(spelling: Spelling, semitones: number): Spelling {
  const place = FIFTHS.indexOf(spelling.letter) + 7 * spelling.alter + fifthsOfSemitones(semitones);
  // F double flat is -14, B double sharp 20.
  const near = place > 20 ? place - 12 : place < -14 ? place + 12 : place;
  const letter = FIFTHS[((near % 7) + 7) % 7]!;
  const alter = Math.floor(near / 7);
  const pitch = spellingToPitch(spelling) + semitones;
  const octave = (pitch - alter - semitoneOf(letter)) / 12 - 1;
  return { letter, alter, octave };
}

function semitoneOf(letter: Letter): number {
  return spellingToPitch({ letter, alter: 0, octave: -1 });
}

/**
 * The key signature that the player reads where another sounds. `transposition`: written + it = sounding.
 * @example writtenFifths(0, -2) // 2: the clarinet in Bb reads D major where C major sounds
 */
export function writtenFifths(sounding: number, transposition: number): number {
  return shiftFifths(sounding, -transposition);
}

export function soundingFifths(written: number, transposition: number): number {
  return shiftFifths(written, transposition);
}
