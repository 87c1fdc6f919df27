import { describe, expect, it } from 'vitest';
import type { ClickOutput } from '../../src/devices/click-output.ts';
import { SoundKeeper } from '../../src/devices/sound-keeper.ts';
import type { TimedSound } from '../../src/devices/timed-sound.ts';
import { fail, ok } from '../../src/problem.ts';

const SOUND: TimedSound = { atMicros: 0, endMicros: 1, sound: { kind: 'click', accent: 'beat' } };
const SECOND = 1_000_000;

class Device implements ClickOutput {
  readonly leadMicros = 150_000;
  lost = false;
  started = 0;
  closed = false;
  start(): void {
    this.started += 1;
  }
  end(): void {}
  cut(): void {}
  close(): void {
    this.closed = true;
  }
}

describe('sound that is lost', () => {
  it('comes back by itself as soon as the device opens again, and the old one is closed', async () => {
    const first = new Device();
    const second = new Device();
    let now = 0;
    let tries = 0;
    const keeper = new SoundKeeper(
      first,
      async () => {
        tries += 1;
        return tries < 3 ? fail({ code: 'sound.none', message: '', exitStatus: 4 }) : ok(second);
      },
      () => now,
    );
    keeper.start(SOUND);
    first.lost = true;
    for (let at = 0; at <= 10 * SECOND && keeper.lost; at += SECOND / 100) {
      now = at;
      keeper.tend();
      await Promise.resolve();
    }
    // At once, after two seconds, after four.
    expect(tries).toBe(3);
    expect(now).toBeLessThan(4.1 * SECOND);
    await new Promise((done) => setImmediate(done));
    expect(first.closed).toBe(true);
    keeper.start(SOUND);
    expect([first.started, second.started]).toEqual([1, 1]);
  });

  it('is not opened while it is there, nor after it was closed', async () => {
    const first = new Device();
    const second = new Device();
    let opened = () => {};
    const keeper = new SoundKeeper(
      first,
      () =>
        new Promise((resolve) => {
          opened = () => resolve(ok(second));
        }),
      () => 5 * SECOND,
    );
    keeper.tend();
    first.lost = true;
    keeper.tend();
    await keeper.close();
    opened();
    await new Promise((done) => setImmediate(done));
    expect([first.closed, second.closed]).toEqual([true, true]);
    expect(keeper.lost).toBe(true);
  });
});
