// The click's thread with the audio clock running on no device; over MIDI it is tested where there is a sequencer
// (test/alsa).

import { spawnSync } from 'node:child_process';
import { createRequire } from 'node:module';
import { describe, expect, it } from 'vitest';
import { need } from '../../src/commands/usage-problem.ts';
import { monotonicMicros } from '../../src/devices/system-clock.ts';
import { openWorkerClick, SilentClick } from '../../src/devices/worker-click.ts';
import { built } from '../built.ts';
import { PATIENCE_MS } from '../hangs.ts';

const hasSound = (() => {
  try {
    createRequire(import.meta.url).resolve('node-web-audio-api');
    return true;
  } catch {
    return false;
  }
})();

describe('the click in its own thread', () => {
  it.skipIf(!hasSound)('takes clicks, signals and notes, falls silent and closes', async () => {
    const click = need(await openWorkerClick({ sound: 'none' }));
    const now = monotonicMicros();
    click.schedule([{ atMicros: now + 20_000, accent: 'bar' }]);
    click.scheduleSignal('again', now + 40_000);
    click.scheduleNotes([{ atMicros: now + 30_000, durationMicros: 5e6, pitch: 60, velocity: 80 }]);
    await new Promise((done) => setTimeout(done, 100));
    click.silenceFrom(monotonicMicros());
    expect(click.name).toBe('sound');
    await click.close();
    click.schedule([{ atMicros: now, accent: 'beat' }]);
    await click.close();
  });

  it.skipIf(!hasSound)('does not keep the program from ending, nor from ending in a crash', () => {
    const file = built('test/devices/leave-click.ts');
    for (const [how, status] of [
      ['end', 0],
      ['throw', 1],
    ] as const) {
      const run = spawnSync(process.execPath, [file, how], { timeout: PATIENCE_MS });
      expect(run.status, how).toBe(status);
    }
  });

  it.skipIf(!hasSound)('says in a sentence that it broke off, and closes all the same', async () => {
    const click = need(await openWorkerClick({ sound: 'none' }));
    const told = new Promise<string>((resolve) => click.onSoundNews(resolve));
    // What no caller may send: the thread fails at it.
    click.soundOwn({ type: 'note-on', at: 0, pitch: 60n as unknown as number, velocity: 80, channel: 0 });
    expect(await told).toMatch(/^The click broke off: go on by the beat on the screen/);
    await click.close();
  });

  it('says in a sentence that an output is missing', async () => {
    const click = await openWorkerClick({ midi: 'an output that nobody has' });
    expect(click).toMatchObject({ ok: false, problem: { exitStatus: 4 } });
  });
});

describe('a click that is only seen', () => {
  it('does what a click does, in silence', async () => {
    const click = new SilentClick();
    click.schedule();
    click.silenceFrom();
    await click.close();
    expect(click.name).toBe('no sound');
  });
});
