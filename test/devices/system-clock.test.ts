import { describe, expect, it } from 'vitest';
import { SystemClock } from '../../src/devices/system-clock.ts';

const clock = new SystemClock();

describe('the system clock', () => {
  it('counts whole microseconds and never backwards', () => {
    const times = Array.from({ length: 1000 }, () => clock.nowMicros());
    expect(times.every(Number.isInteger)).toBe(true);
    expect(times).toEqual([...times].sort((a, b) => a - b));
  });

  it('never wakes early', async () => {
    for (const micros of [300, 1000, 1500, 7900, 20_050]) {
      const at = clock.nowMicros() + micros;
      const woken = await new Promise<number>((resolve) =>
        clock.wakeAt(at, () => resolve(clock.nowMicros())),
      );
      expect(woken).toBeGreaterThanOrEqual(at);
    }
  });

  it('wakes for a past time, but not before wakeAt has returned', async () => {
    let returned = false;
    await new Promise<void>((resolve, reject) => {
      clock.wakeAt(clock.nowMicros() - 5_000_000, () =>
        returned ? resolve() : reject(new Error('too soon')),
      );
      returned = true;
    });
  });

  it('does not wake after it was cancelled, near or far', async () => {
    let woken = 0;
    for (const micros of [-1, 500, 2500]) clock.wakeAt(clock.nowMicros() + micros, () => woken++)();
    const cancelLate = clock.wakeAt(clock.nowMicros() + 200_000, () => woken++);
    // After its timer has fired once and it waits for the rest.
    await new Promise((resolve) => clock.wakeAt(clock.nowMicros() + 3500, () => resolve(cancelLate())));
    await new Promise((resolve) => setTimeout(resolve, 250));
    expect(woken).toBe(0);
  });
});
