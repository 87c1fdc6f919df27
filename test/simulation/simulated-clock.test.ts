import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { SimulatedClock } from '../../src/simulation/simulated-clock.ts';

describe('the simulated clock', () => {
  it('fires every wake-up at its own instant, in order, ties in order of asking', () => {
    const clock = new SimulatedClock();
    const seen: string[] = [];
    const at = (name: string, micros: number) =>
      clock.wakeAt(micros, () => seen.push(`${name}@${clock.nowMicros()}`));
    at('c', 300);
    at('a', 100);
    at('tie 1', 200);
    at('tie 2', 200);
    clock.advanceTo(250);
    expect(seen).toEqual(['a@100', 'tie 1@200', 'tie 2@200']);
    expect(clock.nowMicros()).toBe(250);
    clock.advanceTo(300);
    expect(seen.at(-1)).toBe('c@300');
  });

  it('fires a wake-up asked for in a callback within the same advance, also one that is already past', () => {
    const clock = new SimulatedClock();
    const seen: number[] = [];
    clock.wakeAt(100, () => {
      clock.wakeAt(50, () => seen.push(clock.nowMicros()));
      clock.wakeAt(150, () => seen.push(clock.nowMicros()));
      expect(seen).toEqual([]);
    });
    clock.advanceTo(1000);
    expect(seen).toEqual([100, 150]);
  });

  it('never fires what was cancelled, and nobody minds cancelling twice or too late', () => {
    const clock = new SimulatedClock();
    let fired = 0;
    const cancel = clock.wakeAt(10, () => fired++);
    const late = clock.wakeAt(20, () => fired++);
    cancel();
    cancel();
    expect(clock.nextMicros()).toBe(20);
    clock.advanceTo(30);
    late();
    expect(fired).toBe(1);
    expect(clock.nextMicros()).toBeUndefined();
  });

  it('runs until nobody waits, and stops short of a limit', () => {
    const clock = new SimulatedClock();
    const seen: number[] = [];
    const again = () => {
      seen.push(clock.nowMicros());
      if (seen.length < 5) clock.wakeAt(clock.nowMicros() + 1000, again);
    };
    clock.wakeAt(1000, again);
    expect(clock.runUntilIdle(2999)).toBe(false);
    expect(seen).toEqual([1000, 2000]);
    expect(clock.runUntilIdle(1_000_000)).toBe(true);
    expect(clock.nowMicros()).toBe(5000);
  });

  it('tells the date that goes with its time', () => {
    const clock = new SimulatedClock({ startMicros: 77, startDate: '2026-03-02T17:00:00.000Z' });
    clock.advanceBy(90_500_000);
    expect(clock.date().toISOString()).toBe('2026-03-02T17:01:30.500Z');
  });

  it('refuses to go back', () => {
    const clock = new SimulatedClock({ startMicros: 100 });
    expect(() => clock.advanceTo(99)).toThrow('Cannot advance to 99');
  });

  it('orders any wake-ups as a stable sort does, however the advance is cut', () => {
    fc.assert(
      fc.property(
        fc.array(fc.nat(50), { maxLength: 60 }),
        fc.array(fc.nat(60), { maxLength: 8 }),
        (times, cuts) => {
          const clock = new SimulatedClock();
          const seen: number[] = [];
          for (const [i, at] of times.entries()) clock.wakeAt(at, () => seen.push(i));
          for (const cut of [...cuts, 60].sort((a, b) => a - b)) clock.advanceTo(cut);
          const sorted = times.map((at, i) => ({ at, i })).sort((a, b) => a.at - b.at);
          expect(seen).toEqual(sorted.map(({ i }) => i));
        },
      ),
      { numRuns: 200 },
    );
  });
});
