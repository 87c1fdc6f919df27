import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { SoundClock } from '../../src/devices/sound-clock.ts';
import { sample } from '../sample.ts';

const RATE = 48_000;

/** An audio clock of its own crystal that is seen in blocks, looked at about every 10 ms. */
function run(
  seconds: number,
  {
    block,
    driftPpm,
    jitter,
    hole = 0,
  }: { block: number; driftPpm: number; jitter: () => number; hole?: number },
  onLook: (clock: SoundClock, now: number, trueSeconds: number) => void,
): void {
  const clock = new SoundClock();
  const start = 90_000_000;
  for (let now = start; now < start + seconds * 1e6; now += 10_000 + jitter()) {
    const passed = now - start > 5e6 ? now - start - hole : now - start;
    const audio = (passed / 1e6) * (1 + driftPpm / 1e6);
    const seen = Math.floor((audio * RATE) / block) * (block / RATE);
    clock.look(now, seen * 1e6);
    onLook(clock, now, audio);
  }
}

describe('the place of the session’s time on the audio clock', () => {
  it('is within 2 ms for every usual block size and drift, once settled', () => {
    const block = fc.constantFrom(128, 256, 441, 512, 1024);
    fc.assert(
      fc.property(block, fc.integer({ min: -400, max: 400 }), fc.nat(1e6), (frames, driftPpm, seed) => {
        // Lehmer's generator (Park and Miller 1988): the looks come irregularly, as a thread wakes.
        let state = seed + 1;
        const jitter = () => {
          state = (state * 48_271) % 2_147_483_647;
          return state % 2000;
        };
        let worst = 0;
        run(20, { block: frames, driftPpm, jitter }, (clock, now, audio) => {
          if (clock.settled) worst = Math.max(worst, Math.abs(clock.secondsOf(now) - audio));
        });
        expect(worst).toBeLessThan(0.002);
      }),
      { numRuns: sample(50, 15) },
    );
  });

  it('is not lost when the clock is looked at thousands of times within a moment', () => {
    let i = 0;
    run(8, { block: 1024, driftPpm: 0, jitter: () => (i++ * 7919) % 2000 }, (clock, now, audio) => {
      if (!clock.settled) return;
      // As before a sound: the thread spins, and the audio clock stands where its last block began.
      const seen = Math.floor((audio * RATE) / 1024) * (1024 / RATE) * 1e6;
      for (let spun = 0; spun < 300; spun += 1) clock.look(now, seen);
      expect(Math.abs(clock.secondsOf(now) - audio)).toBeLessThan(0.002);
    });
  });

  it('is found again within half a second after the sound had a hole', () => {
    let i = 0;
    run(
      10,
      { block: 512, driftPpm: 50, jitter: () => (i++ * 7919) % 2000, hole: 80_000 },
      (clock, now, audio) => {
        if (now > 90_000_000 + 5.5e6) expect(Math.abs(clock.secondsOf(now) - audio)).toBeLessThan(0.002);
      },
    );
  });

  it('never moves so fast that a beat at 120 is bent by more than half a millisecond', () => {
    let i = 0;
    let last: { now: number; audio: number } | undefined;
    run(30, { block: 1024, driftPpm: 300, jitter: () => (i++ * 7919) % 2000 }, (clock, now) => {
      if (!clock.settled) return;
      const audio = clock.secondsOf(now);
      if (last)
        expect(Math.abs(audio - last.audio - (now - last.now) / 1e6)).toBeLessThanOrEqual(
          (now - last.now) * 1.001e-9,
        );
      last = { now, audio };
    });
  });
});
