// `fettle work` with sound on, as it is built: heard at the tempo of the step, silent once it has ended, and going on in
// silence where there is no sound or where the sound server dies.

import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { monotonicMicros } from '../../src/devices/system-clock.ts';
import { figure, quantile, sleep, startProgram } from '../alsa/sequencer.ts';
import { lastSound, onsetFrames, record } from './recording.ts';
import { type SoundServer, startSoundServer } from './sound-server.ts';

let server: SoundServer;
beforeEach(async () => {
  server = await startSoundServer();
});
afterEach(() => server.stop());

const BPM = 120;
const WORK = ['work', 'slipway', '--bars', '1', '--tempo', String(BPM), '--plain', '--quiet'];

describe('working with the click as sound', () => {
  it('is heard at the tempo of the step, and silent when it has been left', { retry: 2 }, async () => {
    const recorder = await record(server);
    const run = start([...WORK, '--from', 'model:exact', '--click-to', 'sound'], server.env);
    await run.says('step 1 of');
    await sleep(6_000);
    run.end();
    expect(await run.ended).toBe(143);
    const endedMicros = monotonicMicros();
    await sleep(1_000);
    const { samples, microsOf } = await recorder.stop();
    const heard = onsetFrames(samples).map((frame) => microsOf(frame) / 1000);
    const beatMs = 60_000 / BPM;
    const intervals = heard.slice(1).map((at, i) => at - heard[i]!);
    // Between takes the click may pause: every interval is still whole beats.
    const off = intervals.map((ms) => Math.abs(ms - Math.round(ms / beatMs) * beatMs));
    const oneBeat = intervals.filter((ms) => Math.abs(ms - beatMs) < 20);
    figure('work with sound, ms', {
      clicks: heard.length,
      'interval error p50': quantile(off, 0.5),
      'silent since, before the end': (endedMicros - microsOf(lastSound(samples))) / 1000,
    });
    expect(heard.length).toBeGreaterThan(5);
    expect(oneBeat.length).toBeGreaterThan(3);
    expect(
      quantile(
        oneBeat.map((ms) => Math.abs(ms - beatMs)),
        0.5,
      ),
    ).toBeLessThan(1);
    expect(microsOf(lastSound(samples))).toBeLessThan(endedMicros);
  });

  it("sounds the player's own notes, and leaves none sounding", { retry: 2 }, async () => {
    const words = [...WORK, '--from', 'model:exact', '--click-to', 'sound', '--monitor'];
    const recorder = await record(server);
    const run = start(words, server.env);
    await run.says('step 1 of');
    // In the middle of the bar, with a note held.
    await sleep(4_300);
    run.end();
    await run.ended;
    const endedMicros = monotonicMicros();
    await sleep(1_000);
    const { samples, microsOf } = await recorder.stop();
    expect(lastSound(samples)).toBeGreaterThan(0);
    expect(microsOf(lastSound(samples))).toBeLessThan(endedMicros);
  });

  it('goes on when the sound server dies in the middle', async () => {
    const run = start([...WORK, '--from', 'model:exact', '--click-to', 'sound'], server.env);
    await run.says('step 1 of');
    await sleep(2_000);
    const before = run.output().length;
    await server.kill();
    await run.says('The sound device takes no more sound', before);
    await run.says('clean 2 of 3', before);
    run.end();
    expect(await run.ended).toBe(143);
    expect(run.output()).not.toMatch(/panicked|^\s+at /m);
  });

  it('says in a sentence that there is no sound', async () => {
    await server.kill();
    const run = start([...WORK, '--from', 'model:exact', '--click-to', 'sound'], server.env);
    expect(await run.ended).toBe(4);
    expect(run.output()).toContain('Cannot sound the click: no sound device');
  });
});

// Helpers

function start(words: readonly string[], env: NodeJS.ProcessEnv) {
  const command = [join('dist', 'main.js'), ...words, '--record', join(server.folder, 'practice.db')];
  return startProgram(command, { env });
}
