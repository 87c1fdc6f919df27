// Standard MIDI Files 1.0 (RP-001), IMA text edited by D. Back, 1999: the table of variable-length quantities, the two
// example files byte by byte, the defaults. Values typed from that text. The rule for note-ons of velocity 0 and for
// running status is MIDI 1.0's.

import { describe, expect, it } from 'vitest';
import { need } from '../../src/commands/usage-problem.ts';
import { ByteCursor } from '../../src/notation/midi-file/bytes.ts';
import { quantityBytes } from '../../src/notation/midi-file/bytes-writer.ts';
import { readMidiEvents, tempoMapFor } from '../../src/notation/midi-file/events.ts';
import { pairNotes } from '../../src/notation/midi-file/pairing.ts';
import { readTake } from '../../src/notation/midi-file/take.ts';
import { fromHex, trackFile } from '../notation/bytes.ts';

const QUANTITIES: readonly [value: number, bytes: string][] = [
  [0x00, '00'],
  [0x40, '40'],
  [0x7f, '7F'],
  [0x80, '81 00'],
  [0x2000, 'C0 00'],
  [0x3fff, 'FF 7F'],
  [0x4000, '81 80 00'],
  [0x100000, 'C0 80 00'],
  [0x1fffff, 'FF FF 7F'],
  [0x200000, '81 80 80 00'],
  [0x8000000, 'C0 80 80 00'],
  [0xfffffff, 'FF FF FF 7F'],
];

const FORMAT_0 = `4D 54 68 64 00 00 00 06 00 00 00 01 00 60 4D 54 72 6B 00 00 00 3B
  00 FF 58 04 04 02 18 08 00 FF 51 03 07 A1 20 00 C0 05 00 C1 2E 00 C2 46
  00 92 30 60 00 3C 60 60 91 43 40 60 90 4C 20 81 40 82 30 40 00 3C 40 00 81 43 40 00 80 4C 40 00 FF 2F 00`;

const FORMAT_1 = `4D 54 68 64 00 00 00 06 00 01 00 04 00 60
  4D 54 72 6B 00 00 00 14 00 FF 58 04 04 02 18 08 00 FF 51 03 07 A1 20 83 00 FF 2F 00
  4D 54 72 6B 00 00 00 10 00 C0 05 81 40 90 4C 20 81 40 4C 00 00 FF 2F 00
  4D 54 72 6B 00 00 00 0F 00 C1 2E 60 91 43 40 82 20 43 00 00 FF 2F 00
  4D 54 72 6B 00 00 00 15 00 C2 46 00 92 30 60 00 3C 60 83 00 30 00 00 3C 00 00 FF 2F 00`;

/** Both examples: C3 and C4 on channel 3, G4 on 2 a quarter later, E5 on 1 a quarter after that; all end at 384. */
const EXAMPLE_NOTES = [
  { channel: 3, pitch: 48, velocity: 96, onTick: 0, offTick: 384 },
  { channel: 3, pitch: 60, velocity: 96, onTick: 0, offTick: 384 },
  { channel: 2, pitch: 67, velocity: 64, onTick: 96, offTick: 384 },
  { channel: 1, pitch: 76, velocity: 32, onTick: 192, offTick: 384 },
];

describe('the Standard MIDI File standard', () => {
  it.each(QUANTITIES)('writes and reads the variable-length quantity %i as its table says', (value, text) => {
    const bytes = fromHex(text);
    expect(quantityBytes(value)).toEqual([...bytes]);
    const cursor = new ByteCursor(bytes, 0, bytes.length, 'the table');
    expect(cursor.quantity('a quantity')).toBe(value);
    expect(cursor.left).toBe(0);
  });

  it('has nothing longer than four bytes in a quantity', () => {
    const bytes = fromHex('FF FF FF FF 7F');
    expect(() => new ByteCursor(bytes, 0, 5, 'the table').quantity('a quantity')).toThrow('four bytes');
    expect(() => quantityBytes(0x10000000)).toThrow(RangeError);
  });

  it('has 81 bytes in its example of format 0 and 118 in that of format 1', () => {
    expect(fromHex(FORMAT_0)).toHaveLength(81);
    expect(fromHex(FORMAT_1)).toHaveLength(118);
  });

  it('reads the example of format 0 to its four notes', () => {
    const file = read(FORMAT_0);
    expect(file.format).toBe(0);
    expect(file.division).toEqual({ kind: 'metrical', ticksPerQuarter: 96 });
    expect(file.issues).toEqual([]);
    expect(notesOf(FORMAT_0)).toEqual(EXAMPLE_NOTES);
  });

  it('reads every event of the example of format 0 in its order', () => {
    expect(read(FORMAT_0).tracks[0]!.events).toEqual([
      { tick: 0, type: 'meter', count: 4, unit: 4 },
      { tick: 0, type: 'tempo', microsPerQuarter: 500_000 },
      { tick: 0, type: 'program', channel: 1, program: 5 },
      { tick: 0, type: 'program', channel: 2, program: 46 },
      { tick: 0, type: 'program', channel: 3, program: 70 },
      { tick: 0, type: 'note-on', channel: 3, pitch: 48, velocity: 96 },
      { tick: 0, type: 'note-on', channel: 3, pitch: 60, velocity: 96 },
      { tick: 96, type: 'note-on', channel: 2, pitch: 67, velocity: 64 },
      { tick: 192, type: 'note-on', channel: 1, pitch: 76, velocity: 32 },
      { tick: 384, type: 'note-off', channel: 3, pitch: 48, velocity: 64 },
      { tick: 384, type: 'note-off', channel: 3, pitch: 60, velocity: 64 },
      { tick: 384, type: 'note-off', channel: 2, pitch: 67, velocity: 64 },
      { tick: 384, type: 'note-off', channel: 1, pitch: 76, velocity: 64 },
    ]);
    expect(read(FORMAT_0).tracks[0]!.endTick).toBe(384);
  });

  it('reads the example of format 1, released by velocity 0, to the same notes', () => {
    const file = read(FORMAT_1);
    expect(file.format).toBe(1);
    expect(file.tracks.map((t) => t.number)).toEqual([1, 2, 3, 4]);
    expect(file.issues).toEqual([]);
    expect(notesOf(FORMAT_1)).toEqual(EXAMPLE_NOTES);
  });

  it('makes the quarter note of both examples half a second', () => {
    for (const text of [FORMAT_0, FORMAT_1]) {
      const take = readTake(fromHex(text));
      expect(take.ok && take.value.notes.map((n) => [n.pitch, n.onMicros, n.offMicros])).toEqual([
        [48, 0, 2_000_000],
        [60, 0, 2_000_000],
        [67, 500_000, 2_000_000],
        [76, 1_000_000, 2_000_000],
      ]);
    }
  });

  it('takes 120 quarters to the minute where no tempo is given', () => {
    const take = readTake(trackFile('60 90 3C 40 60 3C 00 00 FF 2F 00'));
    expect(take.ok && take.value.notes[0]!.onMicros).toBe(500_000);
  });

  it.each([
    ['07 A1 20', 500_000],
    ['0F 42 40', 1_000_000],
    ['0A 2C 2A', 666_666],
  ])('reads the tempo %s as %i microseconds to the quarter', (bytes, micros) => {
    const file = readMidiEvents(trackFile(`00 FF 51 03 ${bytes} 00 FF 2F 00`));
    expect(file.ok && tempoMapFor(file.value, file.value.tracks[0]!).microsPerQuarterAt(0)).toBe(micros);
  });

  it('counts milliseconds with the division E7 28: 25 frames of 40 units', () => {
    const take = readTake(trackFile('83 00 90 3C 40 87 68 3C 00 00 FF 2F 00', 'E7 28'));
    expect(take.ok && take.value.notes[0]).toMatchObject({ onMicros: 384_000, offMicros: 1_384_000 });
  });

  it('counts 30 drop-frame as 30000/1001 frames a second', () => {
    const take = readTake(trackFile('87 68 90 3C 40 00 3C 00 00 FF 2F 00', 'E3 64'));
    // 1000 ticks of 100 to the frame are 10 frames: 10 * 1001 / 30000 s.
    expect(take.ok && take.value.notes[0]!.onMicros).toBe(333_667);
  });

  it('skips chunks it does not know and honours a longer header', () => {
    const alien = '58 46 49 48 00 00 00 03 01 02 03';
    const text = `4D 54 68 64 00 00 00 08 00 00 00 01 00 60 AA BB ${alien} 4D 54 72 6B 00 00 00 0B 00 90 3C 40 60 3C 00 00 FF 2F 00 ${alien}`;
    const file = readMidiEvents(fromHex(text));
    expect(file.ok && file.value.issues.map((i) => [i.code, i.place?.byte])).toEqual([
      ['midi.skipped-chunk', 14],
      ['midi.skipped-chunk', 16],
      ['midi.skipped-chunk', 46],
    ]);
    expect(file.ok && pairNotes(file.value.tracks[0]!).notes).toHaveLength(1);
  });
});

function read(text: string) {
  return need(readMidiEvents(fromHex(text)));
}

function notesOf(text: string) {
  return read(text)
    .tracks.flatMap((track) => pairNotes(track).notes)
    .map(({ track: _, ...note }) => note)
    .sort((a, b) => a.onTick - b.onTick || a.pitch - b.pitch);
}
