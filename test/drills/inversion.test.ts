import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type InversionKind, invert, mirrorSpelling } from '../../src/drills/inversion.ts';
import { stepOnsets } from '../../src/drills/step-onset.ts';
import { spellingName, spellingToPitch } from '../../src/music/pitch.ts';
import { arbitrarySpan } from './arbitrary-passage.ts';
import { spelling } from './line.ts';
import { value } from './made.ts';

describe('the inversion of a line', () => {
  it.each([
    // Common practice: the inversion keeps interval names (a third up is a third down); worked by hand.
    ['diatonic', 'C4', 0, 'C4 D4 E4 F4 G4 A4 B4 C5', 'C4 B3 A3 G3 F3 E3 D3 C3'],
    ['diatonic', 'G4', -3, 'G4 Ab4 Bb4 C5', 'G4 F4 Eb4 D4'],
    ['diatonic', 'A4', 0, 'A4 G#4 A4 B4 C5', 'A4 Bb4 A4 G4 F4'],
    ['diatonic', 'F#4', 0, 'F#4 G4 E4 G#4', 'F#4 E4 G4 Eb4'],
    ['chromatic', 'C4', 0, 'C4 D4 E4 F4 F#4 G4 B4', 'C4 Bb3 Ab3 G3 Gb3 F3 Db3'],
    ['chromatic', 'F#4', 6, 'F#4 G#4 A#4 B4', 'F#4 E4 D4 C#4'],
  ] as const)('%s about %s with %i sharps turns %s into %s', (kind, axis, fifths, from, to) => {
    const mirrored = from
      .split(' ')
      .map((name) => spellingName(mirrorSpelling(spelling(name), { kind, axis: spelling(axis) }, fifths)));
    expect(mirrored.join(' ')).toBe(to);
  });

  it('is its own inverse', () => {
    fc.assert(
      fc.property(
        arbitrarySpan({ maxOnsets: 12, instruments: ['keyboard'] }),
        fc.constantFrom<InversionKind>('diatonic', 'chromatic'),
        (span, kind) => {
          const onsets = stepOnsets(span.passage, span);
          const axis = onsets[0]!.notes.at(-1)!.spelling;
          const mirror = { kind, axis };
          const once = invert(span.passage, onsets, mirror);
          fc.pre(once.ok);
          const pitches = value(invert(span.passage, value(once), mirror)).map((onset) =>
            onset.notes.map((note) => note.pitch),
          );
          expect(pitches).toEqual(onsets.map((onset) => onset.notes.map((note) => note.pitch)));
        },
      ),
    );
  });

  it('chromatic mirrors every semitone', () => {
    fc.assert(
      fc.property(fc.integer({ min: 36, max: 84 }), fc.integer({ min: -7, max: 7 }), (pitch, fifths) => {
        const axis = spelling('G4');
        const octave = Math.floor(pitch / 12) - 1;
        const from = spelling(
          `${['C', 'C#', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'][pitch % 12]}${octave}`,
        );
        const mirrored = mirrorSpelling(from, { kind: 'chromatic', axis }, fifths);
        expect(spellingToPitch(mirrored)).toBe(2 * 67 - pitch);
      }),
    );
  });
});
