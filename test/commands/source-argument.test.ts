import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { openSource, type SourceOptions, withAdvice } from '../../src/commands/source-argument.ts';
import { writeTake } from '../../src/notation/midi-file/take-writer.ts';
import { EXIT, ProblemError } from '../../src/problem.ts';
import { MemoryRecord } from '../../src/simulation/memory-record.ts';
import { SimulatedClock } from '../../src/simulation/simulated-clock.ts';
import { ownFolder } from '../own-folder.ts';

const folder = ownFolder();

const PATH = join(folder, 'two-channels.mid');
writeFileSync(
  PATH,
  writeTake(
    [
      [60, 1],
      [126, 1],
      [48, 2],
    ].map(([pitch, channel], i) => ({
      pitch: pitch!,
      channel: channel!,
      onMicros: i * 500_000,
      offMicros: i * 500_000 + 400_000,
      velocity: 80,
    })),
  ),
);

async function pitchesFrom(options: SourceOptions): Promise<number[]> {
  const clock = new SimulatedClock();
  const source = await openSource(options, { clock, record: new MemoryRecord(), recordingZero: 'start' });
  const pitches: number[] = [];
  source.start((event) => {
    if (event.type === 'note-on') pitches.push(event.pitch);
  });
  clock.runUntilIdle(10_000_000);
  return pitches;
}

describe('who plays', () => {
  it('is listened to on the channel asked for and moved by the shift, a recorded take as well', async () => {
    expect(await pitchesFrom({ from: PATH })).toEqual([60, 126, 48]);
    expect(await pitchesFrom({ from: PATH, channel: '2' })).toEqual([48]);
    // 126 and 12 semitones are no MIDI note any more (data bytes go to 127).
    expect(await pitchesFrom({ from: PATH, shift: '12' })).toEqual([72, 60]);
    await expect(pitchesFrom({ from: PATH, channel: '7' })).rejects.toThrow(/channel 7/);
  });

  it('is no model and no keyboard that would be moved', async () => {
    await expect(pitchesFrom({ from: 'model', shift: '12' })).rejects.toThrow(
      'Cannot use --shift with a model',
    );
    await expect(pitchesFrom({ from: 'keys', channel: '2' })).rejects.toThrow(
      'Cannot use --channel with the computer keyboard',
    );
  });

  it('is advised by the command where there is no instrument, and only there', () => {
    const none = { code: 'midi.none', message: 'Cannot use MIDI', hint: 'usual', exitStatus: EXIT.device };
    const told = withAdvice(new ProblemError(none), 'Type it.');
    expect((told as ProblemError).problem).toEqual({ ...none, hint: 'Type it.' });
    const busy = new ProblemError({ ...none, code: 'port.busy' });
    expect(withAdvice(busy, 'Type it.')).toBe(busy);
  });
});
