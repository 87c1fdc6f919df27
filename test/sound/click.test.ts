// The click as the program sounds it, out of its worker thread through the sound library, ALSA and a sound server in
// real time, recorded at the sink; the onsets are found by looking at nothing but the samples.

import { spawn } from 'node:child_process';
import { loadavg } from 'node:os';
import { resolve } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { figure, quantile } from '../alsa/sequencer.ts';
import { onsetFrames, peakFrom, record } from './recording.ts';
import type { Asked, Told } from './sound-clicks.ts';
import { type SoundServer, startSoundServer } from './sound-server.ts';

let server: SoundServer;
beforeAll(async () => {
  server = await startSoundServer();
});
afterAll(() => server.stop());

const STALL_MS = 200;

describe('the audible click', () => {
  it.each([
    ['with the main thread at rest', { bpm: 120, beats: 12 }],
    ['with the main thread blocked 200 ms at a time', { bpm: 120, beats: 12, stallMs: STALL_MS }],
    ['slow, in threes, blocked', { bpm: 72, beats: 6, divisions: 3, bar: 3, stallMs: STALL_MS }],
    ['fast, blocked', { bpm: 208, beats: 20, stallMs: STALL_MS }],
  ] as const)('comes out evenly: %s', { retry: 2 }, async (name, asked) => {
    const { clicks, onsets, peaks, ratePpm } = await hear(asked);
    expect(onsets).toHaveLength(clicks.length);
    const late = onsets.map((at, i) => (at - clicks[i]!.atMicros) / 1000);
    const errors = late.slice(1).map((one, i) => Math.abs(one - late[i]!));
    figure(`click as sound, ${name}, ms`, {
      'interval error p50': quantile(errors, 0.5),
      p99: quantile(errors, 0.99),
      'late p50': quantile(late, 0.5),
      'sink rate, ppm': ratePpm,
      load: loadavg()[0]!,
    });
    // The widest is a matter of the machine's load, since this is no machine of our own; blocked threads would be 200 ms off.
    expect(quantile(errors, 0.5)).toBeLessThan(1);
    // The bar is the loudest, a division the quietest.
    const heights = { bar: 3, group: 2, beat: 1, division: 0 };
    for (let i = 1; i < clicks.length; i += 1) {
      const [before, here] = [clicks[i - 1]!, clicks[i]!];
      const louder = Math.sign(heights[here.accent] - heights[before.accent]);
      if (louder !== 0) expect(Math.sign(peaks[i]! - peaks[i - 1]!)).toBe(louder);
    }
  });
});

// Helpers

async function hear(asked: Asked) {
  const recorder = await record(server);
  const program = ['--import', 'tsx', resolve(import.meta.dirname, 'sound-clicks.ts'), JSON.stringify(asked)];
  const child = spawn(process.execPath, program, { stdio: ['ignore', 'pipe', 'inherit'], env: server.env });
  let output = '';
  child.stdout.on('data', (data) => {
    output += data;
  });
  await new Promise((done) => child.on('close', done));
  const { samples, microsOf, ratePpm } = await recorder.stop();
  const { clicks } = JSON.parse(output.trim().split('\n').at(-1) ?? '') as Told;
  const frames = onsetFrames(samples);
  return {
    clicks,
    onsets: frames.map(microsOf),
    peaks: frames.map((frame) => peakFrom(samples, frame, 5)),
    ratePpm,
  };
}
