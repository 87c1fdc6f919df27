import { describe, expect, it } from 'vitest';
import { readMidiFile } from '../../../src/notation/midi-file/reader.ts';
import { readTake } from '../../../src/notation/midi-file/take.ts';
import { writeTake } from '../../../src/notation/midi-file/take-writer.ts';
import { writeMidiFile } from '../../../src/notation/midi-file/writer.ts';
import { fuzzMidiFiles } from '../../fuzz/midi-file.ts';
import { sample } from '../../sample.ts';
import { generatedPassage } from '../generated-passage.ts';

describe('damaged MIDI files', () => {
  it('are read or refused in one sentence', () => {
    const count = sample(400, 100);
    const { faults, read, refused } = fuzzMidiFiles(count, 20_260, () => 0);
    expect(faults).toEqual([]);
    expect(read).toBeGreaterThan(count / 20);
    expect(refused).toBeGreaterThan(count / 4);
  });

  it('are never read as shorter ones: every cut of a file is refused', () => {
    for (const whole of [
      writeMidiFile(generatedPassage(5)),
      writeTake([{ pitch: 60, onMicros: 0, velocity: 64 }]),
    ]) {
      for (let length = 0; length < whole.length; length++) {
        const reading = readMidiFile(whole.subarray(0, length), 'cut.mid');
        expect(reading.passage, `cut to ${length} of ${whole.length}`).toBeUndefined();
        expect(readTake(whole.subarray(0, length)).ok).toBe(false);
      }
    }
  });
});
