// Notes as sound: a step heard first at its time, the player's own as soon as can be; none is left sounding.

import { spawn } from 'node:child_process';
import { loadavg } from 'node:os';
import { resolve } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { figure, quantile, sleep } from '../alsa/sequencer.ts';
import { lastSound, onsetFrames, record } from './recording.ts';
import { type SoundServer, startSoundServer } from './sound-server.ts';

let server: SoundServer;
beforeAll(async () => {
  server = await startSoundServer();
});
afterAll(() => server.stop());

describe('notes as sound', () => {
  it.each([
    ["the player's own", 'own', 80],
    ['of a step heard first', 'heard', 30],
  ] as const)('%s, and none is left sounding', { retry: 2 }, async (name, kind, mostMs) => {
    const recorder = await record(server);
    const program = ['--import', 'tsx', resolve(import.meta.dirname, 'sound-notes.ts'), kind];
    const child = spawn(process.execPath, program, { stdio: ['ignore', 'pipe', 'inherit'], env: server.env });
    let output = '';
    child.stdout.on('data', (data) => {
      output += data;
    });
    await new Promise((done) => child.on('close', done));
    await sleep(500);
    const { samples, microsOf } = await recorder.stop();
    const told = JSON.parse(output.trim().split('\n').at(-1) ?? '') as {
      times: number[];
      endedMicros: number;
    };
    const onsets = onsetFrames(samples).map(microsOf);
    expect(onsets).toHaveLength(told.times.length);
    const late = onsets.map((at, i) => (at - told.times[i]!) / 1000);
    figure(`notes ${name}, from the note to its sound, ms`, {
      p50: quantile(late, 0.5),
      least: Math.min(...late),
      most: Math.max(...late),
      load: loadavg()[0]!,
    });
    expect(quantile(late, 0.5)).toBeLessThan(mostMs);
    expect(microsOf(lastSound(samples))).toBeLessThan(told.endedMicros + 100_000);
  });
});
