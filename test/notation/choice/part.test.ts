import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { INSTRUMENTS } from '../../../src/music/instrument.ts';
import { spellingName, spellingToPitch } from '../../../src/music/pitch.ts';
import { shiftFifths, transposeSpelling } from '../../../src/music/transposition.ts';
import { choosePart, type PartChoice, transposeForInstrument } from '../../../src/notation/choice/part.ts';
import { generatedPassage } from '../generated-passage.ts';
import { madePassage } from '../made-passage.ts';

const duet = madePassage(
  [
    { at: 0, length: 1, pitch: 72, part: 0 },
    { at: 0, length: 2, pitch: 48, part: 1 },
    { at: 1, length: 1, pitch: 74, part: 0 },
    { at: 2, length: 1, pitch: 50, part: 1 },
  ],
  { instruments: ['clarinet', 'bassoon'], fifths: 2 },
);

const hands = madePassage([
  { at: 0, length: 2, pitch: 76, voice: 1 },
  { at: 0, length: 1, pitch: 67, voice: 1 },
  { at: 0, length: 4, pitch: 48, staff: 2, voice: 3 },
  { at: 1, length: 1, pitch: 69, voice: 2 },
  { at: 2, length: 1, pitch: 71, voice: 1, grace: true },
  { at: 2, length: 2, pitch: 72, voice: 1 },
  { at: 3, length: 1, pitch: 84, voice: 2 },
]);

function chosen(choice: PartChoice, passage = hands) {
  const result = choosePart(passage, choice);
  if (!result.ok) throw new Error(`${result.problem.message} | ${result.problem.hint}`);
  return result.value;
}

function trouble(choice: PartChoice, passage = hands): string {
  const result = choosePart(passage, choice);
  if (result.ok) throw new Error('was chosen');
  expect(result.problem.exitStatus).toBe(2);
  return `${result.problem.message} | ${result.problem.hint}`;
}

function pitches(passage: { onsets: readonly { tick: number; notes: readonly { pitch: number }[] }[] }) {
  return passage.onsets.map((o) => o.notes.map((n) => n.pitch));
}

describe('choosing a part', () => {
  it('goes by number, by name, or by a part of the name', () => {
    for (const part of [2, 'Part 2', 'part 2', '2']) {
      const only = chosen({ part }, duet);
      expect(pitches(only)).toEqual([[48], [50]]);
      expect(only.parts).toEqual([{ name: 'Part 2', instrument: 'bassoon' }]);
      expect(only.onsets.every((o) => o.notes.every((n) => n.part === 0))).toBe(true);
      expect(only.bars).toEqual(duet.bars);
    }
  });

  it('gives the part its own key: the bassoon reads C where the clarinet reads D', () => {
    expect(duet.keys[0]!.fifths).toBe(2);
    expect(chosen({ part: 1 }, duet).keys[0]!.fifths).toBe(2);
    expect(chosen({ part: 2 }, duet).keys[0]!.fifths).toBe(0);
  });

  it('lists the parts where one is unknown or meant twice', () => {
    expect(trouble({ part: 3 }, duet)).toBe(
      'Cannot choose the part: there is no part 3 | the parts are 1 Part 1, 2 Part 2',
    );
    expect(trouble({ part: 'Patr 2' }, duet)).toContain('did you mean "Part 2"?');
    expect(trouble({ part: 'part' }, duet)).toContain('"part" means several parts');
    expect(trouble({ part: 0 }, duet)).toContain('there is no part 0');
  });
});

describe('choosing a hand, a voice or the melody', () => {
  it('takes the upper staff for the right hand', () => {
    expect(pitches(chosen({ hand: 'right' }))).toEqual([[67, 76], [69], [71, 72], [84]]);
    expect(pitches(chosen({ hand: 'left' }))).toEqual([[48]]);
    expect(chosen({ hand: 'both' })).toEqual(hands);
    expect(trouble({ hand: 'left' }, duet)).toContain('there is no left hand');
  });

  it('takes one voice, and lists the voices where there is none of that number', () => {
    expect(pitches(chosen({ voice: 2 }))).toEqual([[69], [84]]);
    expect(trouble({ voice: 4 })).toContain('there are voices 1, 2, 3');
  });

  it('takes the highest line, under which moving inner notes and the other hand are left out', () => {
    const melody = chosen({ line: 'melody' });
    // 69 begins under the held 76; 84 is over the held 72.
    expect(pitches(melody)).toEqual([[76], [71, 72], [84]]);
  });

  it('keeps in any passage a subset of the notes, one melody note an onset', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 100_000 }), (seed) => {
        const passage = generatedPassage(seed);
        const melody = chosen({ line: 'melody' }, passage);
        const all = new Set(passage.onsets.flatMap((o) => o.notes));
        for (const onset of melody.onsets) {
          expect(onset.notes.every((n) => all.has(n))).toBe(true);
          expect(onset.notes.filter((n) => n.ornament !== 'grace')).toHaveLength(1);
        }
      }),
      { numRuns: 100 },
    );
  });
});

describe('another instrument', () => {
  const scale = madePassage(
    [60, 62, 64, 66].map((pitch, at) => ({ at, length: 1, pitch })),
    { fifths: 1 },
  );

  // MusicXML 4.0's transpose element: a B flat clarinet sounds a major second under what is written.
  it('keeps what is on the paper and moves the sound: the clarinet in Bb sounds a tone lower', () => {
    const played = transposeForInstrument(scale, 'clarinet');
    expect(written(played)).toEqual(['C4', 'D4', 'E4', 'F#4']);
    expect(pitches(played)).toEqual([[58], [60], [62], [64]]);
    expect(played.keys[0]!.fifths).toBe(1);
    expect(played.parts[0]!.instrument).toBe('clarinet');
  });

  it('keeps the sound of a MIDI file and moves the names, by interval and not by semitone', () => {
    const read = transposeForInstrument(scale, 'clarinet', 'sounding');
    expect(written(read)).toEqual(['D4', 'E4', 'F#4', 'G#4']);
    expect(pitches(read)).toEqual(pitches(scale));
    expect(read.keys[0]!.fifths).toBe(3);
    // Written C5 on the alto saxophone sounds Eb4 (63): facts of the MusicXML transpose element, -9 semitones.
    const alto = transposeForInstrument(
      madePassage([{ at: 0, length: 1, pitch: 63 }], { fifths: -3 }),
      'alto-sax',
      'sounding',
    );
    expect(written(alto)).toEqual(['C5']);
    expect(alto.keys[0]!.fifths).toBe(0);
  });

  it('keeps written + transposition = sounding for every instrument and passage', () => {
    const instruments = Object.keys(INSTRUMENTS) as (keyof typeof INSTRUMENTS)[];
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 100_000 }),
        fc.constantFrom(...instruments),
        fc.constantFrom<'written' | 'sounding'>('written', 'sounding'),
        (seed, instrument, kept) => {
          const passage = transposeForInstrument(
            generatedPassage(seed, { instruments: ['flute', 'clarinet', 'horn'] }),
            instrument,
            kept,
          );
          for (const { notes } of passage.onsets) {
            for (const { spelling, pitch } of notes) {
              expect(spellingToPitch(spelling) + INSTRUMENTS[instrument].transposition).toBe(pitch);
              expect(Math.abs(spelling.alter)).toBeLessThanOrEqual(2);
            }
          }
          expect(passage.keys.every((k) => Math.abs(k.fifths) <= 7)).toBe(true);
        },
      ),
      { numRuns: 150 },
    );
  });

  it('refuses to sound beyond the MIDI numbers', () => {
    const low = madePassage([{ at: 0, length: 1, pitch: 10 }]);
    expect(() => transposeForInstrument(low, 'baritone-sax')).toThrow('onset 1 would sound beyond');
  });
});

describe('transposing names', () => {
  it.each([
    ['F#4', { letter: 'F', alter: 1, octave: 4 }, 2, 'G#4'],
    ['Bb3', { letter: 'B', alter: -1, octave: 3 }, 2, 'C4'],
    ['B3', { letter: 'B', alter: 0, octave: 3 }, 1, 'C4'],
    ['C4', { letter: 'C', alter: 0, octave: 4 }, -3, 'A3'],
    ['C4', { letter: 'C', alter: 0, octave: 4 }, 21, 'A5'],
    ['Cb4', { letter: 'C', alter: -1, octave: 4 }, 12, 'Cb5'],
  ] as const)('takes %s (%o) by %i semitones to %s', (_, spelling, semitones, name) => {
    expect(spellingName(transposeSpelling(spelling, semitones))).toBe(name);
  });

  it('moves keys round the circle of fifths', () => {
    expect([2, -9, -7, 3, 12].map((semitones) => shiftFifths(0, semitones))).toEqual([2, -3, -1, -3, 0]);
    expect(shiftFifths(6, 2)).toBe(-4);
  });
});

function written(passage: ReturnType<typeof madePassage>): string[] {
  return passage.onsets.flatMap((o) => o.notes.map((n) => spellingName(n.spelling)));
}
