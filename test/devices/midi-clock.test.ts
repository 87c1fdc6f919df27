// Source: MIDI 1.0 Detailed Specification, System Real-Time: 24 clocks a quarter note, FA start, FB continue, FC stop.
// Periods worked out by hand: 60 bpm 41.667 ms, 90 27.778, 120 20.833, 144 17.361.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ClockFollower, clockPulses } from '../../src/devices/midi-clock.ts';

const quarter = (bpm: number) => 60_000_000 / bpm;

describe('MIDI clock', () => {
  it.each([
    [60, 41_667],
    [90, 27_778],
    [120, 20_833],
    [144, 17_361],
  ])('at %d bpm ticks every %d µs, 24 to the quarter', (bpm, periodMicros) => {
    const pulses = clockPulses({ zeroMicros: 1e6, quarterMicros: quarter(bpm), quarters: 4 });
    expect(pulses[0]!.byte).toBe(0xfa);
    expect(pulses.at(-1)!.byte).toBe(0xfc);
    const clocks = pulses.filter((pulse) => pulse.byte === 0xf8);
    expect(clocks).toHaveLength(96);
    expect(clocks[0]!.atMicros).toBe(1e6);
    expect(pulses[0]!.atMicros).toBeLessThan(1e6);
    expect(clocks[1]!.atMicros - 1e6).toBe(periodMicros);
    expect(clocks[24]!.atMicros - 1e6).toBe(Math.round(quarter(bpm)));
  });

  it('is followed back to its tempo and its beats, through a millisecond of jitter', () => {
    fc.assert(
      fc.property(fc.integer({ min: 30, max: 240 }), fc.infiniteStream(fc.nat(1000)), (bpm, jitter) => {
        const follower = new ClockFollower();
        for (const { byte, atMicros } of clockPulses({
          zeroMicros: 5e6,
          quarterMicros: quarter(bpm),
          quarters: 3,
        })) {
          if (byte !== 0xfc) follower.take(byte, atMicros + (jitter.next().value! - 500));
        }
        const followed = follower.followed!;
        expect(followed.quarter).toBe(2);
        expect(Math.abs(followed.quarterAtMicros - (5e6 + 2 * quarter(bpm)))).toBeLessThan(1000);
        expect(Math.abs(followed.tempoBpm / bpm - 1)).toBeLessThan(0.01);
      }),
      { numRuns: 200 },
    );
  });

  it('is followed into a new tempo within a quarter', () => {
    const follower = new ClockFollower();
    const slow = clockPulses({ zeroMicros: 0, quarterMicros: 1_000_000, quarters: 4 }).slice(0, -1);
    const fast = clockPulses({ zeroMicros: 4_000_000, quarterMicros: 500_000, quarters: 2 }).slice(1, -1);
    for (const { byte, atMicros } of [...slow, ...fast]) follower.take(byte, atMicros);
    expect(follower.followed!.tempoBpm).toBeCloseTo(120, 3);
    expect(follower.followed!.quarter).toBe(5);
  });

  it('is not followed before it has started, nor after it has stopped', () => {
    const follower = new ClockFollower();
    for (let i = 0; i < 48; i += 1) follower.take(0xf8, i * 20_000);
    expect(follower.followed).toBeUndefined();
    for (const pulse of clockPulses({ zeroMicros: 2e6, quarterMicros: 5e5, quarters: 2 })) {
      follower.take(pulse.byte, pulse.atMicros);
    }
    expect(follower.running).toBe(false);
    expect(follower.followed).toBeUndefined();
  });

  it('goes on counting after a continue and begins anew after a start', () => {
    const follower = new ClockFollower();
    const feed = (first: number, zero: number) => {
      follower.take(first, zero - 1000);
      for (let i = 0; i < 24; i += 1) follower.take(0xf8, zero + i * 20_000);
    };
    feed(0xfa, 1e6);
    follower.take(0xfc, 1.6e6);
    feed(0xfb, 3e6);
    expect(follower.followed!.quarter).toBe(1);
    expect(follower.followed!.quarterAtMicros).toBe(3e6);
    feed(0xfa, 9e6);
    expect(follower.followed!.quarter).toBe(0);
  });
});
