import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  keyAlter,
  LETTERS,
  pitchToHz,
  spellingName,
  spellingToPitch,
  spellPitch,
} from '../../src/music/pitch.ts';

describe('pitch', () => {
  it('stands at 440 Hz for A4, note 69 (ISO 16:1975, from memory), and in equal temperament from there', () => {
    expect(spellingToPitch({ letter: 'A', alter: 0, octave: 4 })).toBe(69);
    expect(pitchToHz(69)).toBe(440);
    // Computed apart from this project in the team's fact sheet: 12-tone equal temperament.
    expect(pitchToHz(60)).toBeCloseTo(261.6256, 4);
    expect(pitchToHz(21)).toBeCloseTo(27.5, 10);
    expect(pitchToHz(108)).toBeCloseTo(4186.009, 3);
  });

  it('counts C4 as 60, as the Standard MIDI File specification’s note table does', () => {
    expect(spellingToPitch({ letter: 'C', alter: 0, octave: 4 })).toBe(60);
    expect(spellingToPitch({ letter: 'B', alter: 1, octave: 3 })).toBe(60);
    expect(spellingToPitch({ letter: 'C', alter: -1, octave: 5 })).toBe(71);
  });

  it('is spelled as its key spells it: sharps in sharp keys, flats in flat keys', () => {
    expect([61, 63, 66, 68, 70].map((p) => spellingName(spellPitch(p, 2)))).toEqual([
      'C#4',
      'D#4',
      'F#4',
      'G#4',
      'A#4',
    ]);
    expect([61, 63, 66, 68, 70].map((p) => spellingName(spellPitch(p, -3)))).toEqual([
      'Db4',
      'Eb4',
      'Gb4',
      'Ab4',
      'Bb4',
    ]);
    // E# and Cb belong to their keys.
    expect(spellingName(spellPitch(65, 6))).toBe('E#4');
    expect(spellingName(spellPitch(71, -6))).toBe('Cb5');
  });

  it('is spelled so that the spelling gives the pitch back, in every key', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 127 }), fc.integer({ min: -7, max: 7 }), (pitch, fifths) => {
        expect(spellingToPitch(spellPitch(pitch, fifths))).toBe(pitch);
      }),
    );
  });

  it('has as many altered letters in a key as the key has signs', () => {
    for (let fifths = -7; fifths <= 7; fifths++) {
      const altered = LETTERS.filter((letter) => keyAlter(letter, fifths) !== 0);
      expect(altered).toHaveLength(Math.abs(fifths));
    }
    expect(LETTERS.filter((letter) => keyAlter(letter, 2) === 1)).toEqual(['C', 'F']);
    expect(LETTERS.filter((letter) => keyAlter(letter, -2) === -1)).toEqual(['E', 'B']);
  });
});
