// What a typed ABC note is called in full: key signature, accidentals earlier in the bar, and a tie from the note
// before it, over the bar line too.

import type { Letter, Spelling } from '../../music/pitch.ts';
import type { FilePlace } from '../reading.ts';
import { type Alters, signature } from './fields.ts';

/** How far an accidental reaches: ABC 2.1, section 11.3, where the default is `pitch`: all octaves. */
export type Propagation = 'not' | 'octave' | 'pitch';

/** A note name as typed: no accidental means that key and bar decide. */
export interface TypedNote {
  readonly letter: Letter;
  readonly octave: number;
  readonly accidental?: number;
  readonly place: FilePlace;
}

export class AbcAccidentals {
  propagation: Propagation = 'pitch';
  /** Octaves added by the clef and by octave=. */
  octaves = 0;
  private alters: Alters = signature(0, 'major').alters;
  private readonly barAlters = new Map<string, number>();
  private tied: readonly Spelling[] = [];

  setKey(alters: Alters): void {
    this.alters = alters;
    this.barAlters.clear();
  }

  endBar(): void {
    this.barAlters.clear();
  }

  /** These notes are tied on: the next note of the same letter and octave sounds the same without an accidental. */
  expectTied(spellings: readonly Spelling[]): void {
    this.tied = spellings;
  }

  endTies(): void {
    this.tied = [];
  }

  resolve(typed: TypedNote): Spelling {
    const { letter } = typed;
    const octave = typed.octave + this.octaves;
    const reach = this.propagation === 'pitch' ? letter : `${letter}${octave}`;
    if (typed.accidental !== undefined) {
      if (this.propagation !== 'not') this.barAlters.set(reach, typed.accidental);
      return { letter, alter: typed.accidental, octave };
    }
    const tied = this.tied.find((s) => s.letter === letter && s.octave === octave);
    const alter = tied?.alter ?? this.barAlters.get(reach) ?? this.alters[letter];
    return { letter, alter, octave };
  }
}
