// A pitch is a MIDI note number, 0-127, sounding unless a name says "written". 60 is C4, middle C (SMF 1.0 note
// table; some makers print C3). A spelling is the written name: which of C# and Db it is.

export type Pitch = number;

export type Letter = 'A' | 'B' | 'C' | 'D' | 'E' | 'F' | 'G';

/** A written note name. `alter` in semitones, -2 (double flat) to 2 (double sharp); `octave` scientific, C4 = middle C. */
export interface Spelling {
  readonly letter: Letter;
  readonly alter: number;
  readonly octave: number;
}

/** Letters in scale order from C, the order in which octaves count. */
export const LETTERS: readonly Letter[] = ['C', 'D', 'E', 'F', 'G', 'A', 'B'];

const SEMITONES: Record<Letter, number> = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };
const SIGNS: Record<number, string> = { [-2]: 'bb', [-1]: 'b', 0: '', 1: '#', 2: '##' };

/** Letters in the order in which sharps appear in key signatures; flats appear in the reverse order. */
const SHARP_ORDER: readonly Letter[] = ['F', 'C', 'G', 'D', 'A', 'E', 'B'];

/** The MIDI number of a spelling. @example spellingToPitch({ letter: 'A', alter: 0, octave: 4 }) // 69 */
export function spellingToPitch(spelling: Spelling): Pitch {
  return (spelling.octave + 1) * 12 + SEMITONES[spelling.letter] + spelling.alter;
}

/** The name a player reads, plain ASCII. @example spellingName({ letter: 'D', alter: 1, octave: 5 }) // 'D#5' */
export function spellingName(spelling: Spelling): string {
  return `${spelling.letter}${SIGNS[spelling.alter] ?? '?'}${spelling.octave}`;
}

/** The other way: "B4", "D#5", "eb4", "F##3"; undefined for anything else. */
export function readSpelling(text: string): Spelling | undefined {
  const [, letter, sign = '', octave] = /^([A-Ga-g])(#{1,2}|b{1,2})?(-?\d)$/.exec(text.trim()) ?? [];
  if (letter === undefined) return undefined;
  const alter = sign.length * (sign.startsWith('b') ? -1 : 1);
  return { letter: letter.toUpperCase() as Letter, alter, octave: Number(octave) };
}

/** The alteration that a key signature of `fifths` sharps (negative: flats) gives a letter. Range of fifths: -7 to 7. */
export function keyAlter(letter: Letter, fifths: number): number {
  const place = SHARP_ORDER.indexOf(letter);
  if (fifths > 0) return place < fifths ? 1 : 0;
  return 6 - place < -fifths ? -1 : 0;
}

/**
 * A spelling for a bare MIDI number in a key: a note of the key as the key writes it, any other with the sharps of
 * sharp keys (and C major) or the flats of flat keys.
 * @example spellingName(spellPitch(63, -2)) // 'Eb4'
 */
export function spellPitch(pitch: Pitch, fifths = 0): Spelling {
  const accidental = fifths < 0 ? -1 : 1;
  const alters = [...new Set([0, accidental, -accidental])];
  const candidates: Spelling[] = [];
  for (const alter of alters) {
    for (const letter of LETTERS) {
      const octave = Math.floor((pitch - SEMITONES[letter] - alter) / 12) - 1;
      const spelling = { letter, alter, octave };
      if (spellingToPitch(spelling) === pitch) candidates.push(spelling);
    }
  }
  return candidates.find((c) => keyAlter(c.letter, fifths) === c.alter) ?? candidates[0]!;
}

/** Equal temperament at A4 = 440 Hz (ISO 16:1975). @example pitchToHz(69) // 440 */
export function pitchToHz(pitch: Pitch): number {
  return 440 * 2 ** ((pitch - 69) / 12);
}
