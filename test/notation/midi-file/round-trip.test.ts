// Passages written as MIDI files and read back, and what independent readers find in them: @tonejs/midi 2.0.28 (which
// reads by the midi-file library; its notes pair by its own code) and midi-file 1.2.4.

import toneMidi from '@tonejs/midi';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Passage } from '../../../src/music/passage.ts';
import { microsPerTick } from '../../../src/music/tempo.ts';
import { TICKS_PER_QUARTER } from '../../../src/music/ticks.ts';
import { readMidiFile } from '../../../src/notation/midi-file/reader.ts';
import { writeMidiFile } from '../../../src/notation/midi-file/writer.ts';
import { sample } from '../../sample.ts';
import { generatedPassage } from '../generated-passage.ts';

const { Midi } = toneMidi;
const seeds = fc.integer({ min: 1, max: 1_000_000 });

describe('a passage written as a MIDI file and read back', () => {
  it('has the same notes, lengths, parts, hands, voices and grace notes', () => {
    fc.assert(
      fc.property(seeds, (seed) => {
        const passage = generatedPassage(seed);
        fc.pre(!graceNotesAreHidden(passage));
        expect(notesOf(roundTrip(passage))).toEqual(notesOf(passage));
      }),
      { numRuns: sample(250, 25) },
    );
  });

  it('has the same bars, keys, tempos, marks and names, as far as a MIDI file holds them', () => {
    fc.assert(
      fc.property(seeds, (seed) => {
        const passage = generatedPassage(seed);
        const back = roundTrip(passage);
        // A pickup takes the meter of the bar after it; numbers and modes but major and minor are lost.
        const bars = ({ bars: all }: Passage) =>
          all.map((b) => [
            b.startTick,
            b.durationTicks,
            b.pickup,
            b.pickup ? 0 : `${b.meter.count}/${b.meter.unit}`,
          ]);
        fc.pre(!firstBarLooksLikePickup(passage));
        expect(bars(back)).toEqual(bars(passage));
        expect(back.endTick).toBe(passage.endTick);
        expect(back.parts).toEqual(passage.parts);
        expect(back.title).toBe(passage.title);
        expect(back.composer).toBe(passage.composer);
        expect(back.rehearsalMarks).toEqual(passage.rehearsalMarks);
        // Keys as sounding signatures: enharmonic twins at the edge of seven accidentals count as one.
        const twelfth = (n: number) => ((n % 12) + 12) % 12;
        expect(twelfth(back.keys[0]!.fifths)).toBe(twelfth(passage.keys[0]!.fifths));
        const quarter = (p: Passage) => microsPerTick(p.tempo) * TICKS_PER_QUARTER;
        expect(Math.abs(quarter(back) - quarter(passage))).toBeLessThan(1.5);
        expect(back.tempoChanges.map((c) => c.tick)).toEqual(passage.tempoChanges.map((c) => c.tick));
      }),
      { numRuns: sample(250, 25) },
    );
  });

  it('is the same to @tonejs/midi: pitches, starts, lengths and names', () => {
    fc.assert(
      fc.property(seeds, (seed) => {
        const passage = generatedPassage(seed, { ornaments: false });
        const midi = new Midi(writeMidiFile(passage));
        const theirs = midi.tracks.flatMap((track) =>
          track.notes.map((n) => {
            const scale = TICKS_PER_QUARTER / midi.header.ppq;
            return `${n.ticks * scale} ${n.midi} ${n.durationTicks * scale}`;
          }),
        );
        const ours = passage.onsets.flatMap((o) =>
          o.notes.map((n) => `${o.tick} ${n.pitch} ${n.durationTicks}`),
        );
        expect(theirs.sort()).toEqual(ours.sort());
        expect(midi.header.name).toBe(passage.title);
        const meters = midi.header.timeSignatures.map((t) => t.timeSignature.join('/'));
        expect(meters.at(-1)).toBe(meterOf(passage.bars.at(-1)!.meter));
        // It takes the key's minor flag apart and keeps the sharps.
        expect(midi.header.keySignatures.length).toBeGreaterThan(0);
      }),
      { numRuns: sample(200, 20) },
    );
  });

  it('keeps every bundled way of dividing a quarter exact, septuplets too', () => {
    for (const parts of [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 14, 16, 20, 24, 28, 32]) {
      const passage = generatedPassage(7, { parts: 1, instruments: ['flute'] });
      const note = passage.onsets[0]!.notes[0]!;
      const durationTicks = TICKS_PER_QUARTER / parts;
      const onsets = Array.from({ length: 8 * parts }, (_, i) => ({
        tick: i * durationTicks,
        notes: [{ ...note, durationTicks }],
      })).filter((o) => o.tick < passage.endTick);
      const back = roundTrip({ ...passage, onsets });
      expect(
        back.onsets.map((o) => o.tick),
        `${parts} to the quarter`,
      ).toEqual(onsets.map((o) => o.tick));
      expect(back.onsets.every((o) => o.notes[0]!.durationTicks === durationTicks)).toBe(true);
    }
  });
});

describe('a file written by @tonejs/midi', () => {
  it('is read to the same notes', () => {
    const notes = fc.array(
      fc.record({
        sixteenth: fc.integer({ min: 0, max: 63 }),
        length: fc.integer({ min: 1, max: 8 }),
        pitch: fc.integer({ min: 60, max: 90 }),
      }),
      { minLength: 1, maxLength: 40 },
    );
    fc.assert(
      fc.property(notes, fc.integer({ min: 30, max: 240 }), (list, bpm) => {
        const midi = new Midi();
        midi.header.setTempo(bpm);
        const track = midi.addTrack();
        const { ppq } = midi.header;
        const seen = new Map<number, number>();
        const written: string[] = [];
        for (const { sixteenth, length, pitch } of [...list].sort((a, b) => a.sixteenth - b.sixteenth)) {
          // One key is struck again only after it was let go.
          if ((seen.get(pitch) ?? -1) > sixteenth) continue;
          seen.set(pitch, sixteenth + length);
          track.addNote({ midi: pitch, ticks: (sixteenth * ppq) / 4, durationTicks: (length * ppq) / 4 });
          written.push(`${sixteenth * 2520} ${pitch} ${length * 2520}`);
        }
        const { passage } = readMidiFile(Uint8Array.from(midi.toArray()), 'tone.mid');
        const read = passage!.onsets.flatMap((o) =>
          o.notes.map((n) => `${o.tick} ${n.pitch} ${n.durationTicks}`),
        );
        expect(read.sort()).toEqual(written.sort());
        expect(Math.abs(passage!.tempo.bpm - bpm)).toBeLessThan(0.01);
      }),
      { numRuns: sample(200, 20) },
    );
  });
});

function roundTrip(passage: Passage): Passage {
  const reading = readMidiFile(writeMidiFile(passage), 'round.mid');
  if (!reading.passage) throw new Error(reading.issues.map((i) => i.message).join('; '));
  return reading.passage;
}

function notesOf(passage: Passage): string[] {
  return passage.onsets.flatMap(({ tick, notes }) =>
    notes.map((n) => {
      const grace = n.ornament === 'grace' ? ` grace ${n.graceIndex ?? 0}` : '';
      return `${tick}: ${n.pitch} for ${n.durationTicks}, part ${n.part} staff ${n.staff} voice ${n.voice}${grace}`;
    }),
  );
}

function meterOf({ count, unit }: { count: number; unit: number }): string {
  return `${count}/${unit}`;
}

/** Where a first bar is followed at once by a meter at least twice as long, a MIDI file cannot tell it from a pickup. */
function firstBarLooksLikePickup({ bars }: Passage): boolean {
  const [first, second] = bars;
  return !!first && !!second && !first.pickup && 2 * first.durationTicks <= second.durationTicks;
}

/**
 * Grace notes take a key that must be up: where their voice holds the same key, the held note is cut and its length
 * lost; at the very start they share the moment with their main note and the same key cannot be told apart.
 */
function graceNotesAreHidden(passage: Passage): boolean {
  const all = passage.onsets.flatMap((o) => o.notes.map((note) => ({ note, tick: o.tick })));
  return all.some(
    ({ note, tick }) =>
      note.ornament === 'grace' &&
      all.some(
        (other) =>
          other.note.ornament !== 'grace' &&
          other.note.pitch === note.pitch &&
          other.note.part === note.part &&
          other.tick + other.note.durationTicks > tick - 4 * 601 &&
          other.tick <= tick,
      ),
  );
}
