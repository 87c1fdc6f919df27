// The click as sound: played into a loopback sound card, recorded from its other end with ALSA's own recorder, and the
// onsets found in the recording by looking at nothing but the samples. Only in the throw-away machine: it makes the
// loopback the default sound device. The main thread is not blocked here: two emulated processors have none to spare for
// the sound device then, and what is recorded would be that.
import { execSync, spawn } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { monotonicMicros } from '../../src/devices/system-clock.ts';
import { openWorkerClick } from '../../src/devices/worker-click.ts';
import { onsetFrames, samplesOf } from '../sound/recording.ts';
import { figure, quantile, sleep } from './sequencer.ts';

const inMachine = process.env.FETTLE_ALSA_MACHINE === '1';
const RATE = 48_000;

describe.skipIf(!inMachine)('the click as sound', () => {
  it('really comes out, evenly', { retry: 3 }, async () => {
    const card =
      'pcm.!default { type plug slave.pcm "hw:Loopback,0,0" }\nctl.!default { type hw card Loopback }\n';
    writeFileSync(join(process.env.HOME ?? '/root', '.asoundrc'), card);
    // The recorder first: the loopback's two ends must agree, and only the playing one goes through a converter.
    const file = '/tmp/click.wav';
    const recorder = spawn(
      'arecord',
      `-q -D hw:Loopback,1,0 -f S16_LE -r ${RATE} -c 2 -d 120 ${file}`.split(' '),
    );
    const recorded = new Promise((done) => recorder.on('close', done));
    const played = 3000 + 16 * 500;
    await sleep(500);
    const click = await openWorkerClick({ sound: 'default', loudness: 1 });
    if (!click.ok) throw new Error(click.problem.message);
    const bpm = 132;
    const zero = monotonicMicros() + 500_000;
    const clicks = Array.from({ length: 16 }, (_, i) => ({
      atMicros: Math.round(zero + (i * 60_000_000) / bpm),
      accent: 'beat' as const,
    }));
    click.value.schedule(clicks);
    await sleep(played);
    // Before the recorder ends: with nobody at its other end the loopback takes no more sound, and closing would wait.
    await click.value.close();
    recorder.kill('SIGINT');
    await recorded;

    const wav = readFileSync(file);
    const onsets = onsetFrames(samplesOf(wav.subarray(wav.indexOf('data') + 8)), { rate: RATE });
    expect(onsets).toHaveLength(clicks.length);
    const intervals = onsets.slice(1).map((frame, i) => ((frame - onsets[i]!) * 1000) / RATE);
    const asked = 60_000 / bpm;
    figure('sound through the loopback card, ms', {
      asked,
      'interval p50': quantile(intervals, 0.5),
      all: intervals.map((interval) => interval.toFixed(2)).join(' '),
      'error p50': quantile(
        intervals.map((interval) => Math.abs(interval - asked)),
        0.5,
      ),
      least: Math.min(...intervals),
      most: Math.max(...intervals),
    });
    const errors = intervals.map((interval) => Math.abs(interval - asked));
    expect(quantile(errors, 0.5)).toBeLessThan(1);
    expect(quantile(errors, 0.8)).toBeLessThan(2);
  });

  it('is a sentence, not a crash, where there is no sound device', async () => {
    execSync('modprobe -r snd-aloop');
    const click = await openWorkerClick({ sound: 'default' });
    execSync('modprobe snd-aloop');
    expect(click).toMatchObject({ ok: false, problem: { code: 'sound.none', exitStatus: 4 } });
  });
});
