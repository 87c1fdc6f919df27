// The mirror image of a line about one of its notes, as the player reads it. Diatonic: as many steps of the key on the
// other side, a raised note becoming a lowered one. Chromatic: as many semitones, so that a major third up becomes a
// major third down. Each is its own inverse about the same axis (chromatic: in pitch always, in spelling wherever two
// signs are enough).

import { INSTRUMENTS } from '../music/instrument.ts';
import type { Note } from '../music/onset.ts';
import type { Passage } from '../music/passage.ts';
import {
  keyAlter,
  LETTERS,
  type Spelling,
  spellingName,
  spellingToPitch,
  spellPitch,
} from '../music/pitch.ts';
import { ok, type Result } from '../problem.ts';
import { refuse } from './refusal.ts';
import type { StepOnset } from './step.ts';

export type InversionKind = 'diatonic' | 'chromatic';

export interface Mirror {
  readonly kind: InversionKind;
  /** Stays where it is. */
  readonly axis: Spelling;
}

/**
 * The onsets mirrored; ticks are kept. Refused where a note would leave the written range of its instrument.
 * The key is the one in force at each onset.
 */
export function invert(
  passage: Passage,
  onsets: readonly StepOnset[],
  mirror: Mirror,
): Result<readonly StepOnset[]> {
  const mirrored: StepOnset[] = [];
  for (const onset of onsets) {
    const fifths = fifthsAt(passage, passage.onsets[onset.number - 1]!.tick);
    const notes: Note[] = [];
    for (const note of onset.notes) {
      const spelling = mirrorSpelling(note.spelling, mirror, fifths);
      const trouble = outOfReach(passage, note, spelling, onset.number);
      if (trouble) return trouble;
      const shift = spellingToPitch(spelling) - spellingToPitch(note.spelling);
      notes.push({ ...note, spelling, pitch: note.pitch + shift });
    }
    mirrored.push({ ...onset, notes: notes.sort((a, b) => a.pitch - b.pitch) });
  }
  return ok(mirrored);
}

/** @example spellingName(mirrorSpelling(E4, { kind: 'chromatic', axis: C4 }, 0)) // 'Ab3' */
export function mirrorSpelling(spelling: Spelling, { kind, axis }: Mirror, fifths: number): Spelling {
  const target = 2 * stepsOf(axis) - stepsOf(spelling);
  const octave = Math.floor(target / LETTERS.length);
  const letter = LETTERS[target - octave * LETTERS.length]!;
  if (kind === 'diatonic') {
    // The axis and its own alterations stay: only so is the axis its own image in every key.
    if (stepsOf(spelling) === stepsOf(axis)) return spelling;
    const raised = spelling.alter - keyAlter(spelling.letter, fifths);
    return { letter, octave, alter: keyAlter(letter, fifths) - raised };
  }
  const pitch = 2 * spellingToPitch(axis) - spellingToPitch(spelling);
  const alter = pitch - spellingToPitch({ letter, octave, alter: 0 });
  return Math.abs(alter) <= 2 ? { letter, octave, alter } : spellPitch(pitch, fifths);
}

/** Steps of the staff from C0. */
function stepsOf(spelling: Spelling): number {
  return spelling.octave * LETTERS.length + LETTERS.indexOf(spelling.letter);
}

function fifthsAt(passage: Passage, tick: number): number {
  return passage.keys.findLast((key) => key.tick <= tick)?.fifths ?? 0;
}

function outOfReach(
  passage: Passage,
  note: Note,
  spelling: Spelling,
  number: number,
): Result<never> | undefined {
  const where = `${spellingName(note.spelling)} of onset ${number}`;
  if (Math.abs(spelling.alter) > 2) {
    return refuse(
      'inversion-spelling',
      `Cannot invert: ${where} would need three signs before it in this key`,
      'Use the chromatic inversion.',
    );
  }
  const { lowest, highest, name, transposition } = INSTRUMENTS[passage.parts[note.part]!.instrument];
  const written = note.pitch - transposition + spellingToPitch(spelling) - spellingToPitch(note.spelling);
  if (written >= lowest && written <= highest) return undefined;
  const side = written < lowest ? 'below' : 'above';
  return refuse(
    'inversion-range',
    `Cannot invert: ${where} would become ${spellingName(spelling)}, ${side} the range of the ${name} (${spellingName(spellPitch(lowest))} to ${spellingName(spellPitch(highest))})`,
    'Choose a span that begins nearer the middle of the range, or play it without the inversion.',
  );
}
