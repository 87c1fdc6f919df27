import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { MidiStamps } from '../../src/devices/midi-stamps.ts';

interface Sent {
  readonly trueMicros: number;
  readonly deltaSeconds: number;
  readonly callbackMicros: number;
}

/** A driver that counts in its own clock, and a thread that is blocked for `stallMicros` at a time. */
function deliver(
  gapsMicros: readonly number[],
  {
    driftPpm = 0,
    noiseMicros = () => 0,
    stallMicros = 0,
    prompt = 1,
  }: {
    driftPpm?: number;
    noiseMicros?: (i: number) => number;
    stallMicros?: number;
    /** So many first messages come at once. */
    prompt?: number;
  },
): Sent[] {
  let time = 50_000_000;
  let lastDriver = Number.NaN;
  return gapsMicros.map((gap, i) => {
    time += gap;
    const driver = time * (1 + driftPpm / 1e6) + noiseMicros(i);
    const deltaSeconds = i === 0 ? 0 : (driver - lastDriver) / 1e6;
    lastDriver = driver;
    const free = i < prompt || stallMicros === 0 ? time : Math.ceil(time / stallMicros) * stallMicros;
    return { trueMicros: time, deltaSeconds, callbackMicros: Math.round(free + 300) };
  });
}

function stampAll(sent: readonly Sent[]): number[] {
  const stamps = new MidiStamps();
  return sent.map(({ deltaSeconds, callbackMicros }) => stamps.stamp(deltaSeconds, callbackMicros));
}

/** The worst difference between a stamped and a sent interval. */
function worstInterval(sent: readonly Sent[], stamps: readonly number[]): number {
  return Math.max(
    0,
    ...sent.slice(1).map((s, i) => {
      const sentMicros = s.trueMicros - sent[i]!.trueMicros;
      return Math.abs(stamps[i + 1]! - stamps[i]! - sentMicros);
    }),
  );
}

const gaps = fc.array(fc.integer({ min: 20_000, max: 1_200_000 }), { minLength: 2, maxLength: 120 });

describe('stamps from driver deltas', () => {
  it('keep every interval within 1 ms with the thread blocked 200 ms at a time', () => {
    fc.assert(
      fc.property(
        gaps,
        fc.integer({ min: -100, max: 100 }),
        fc.infiniteStream(fc.nat(200)),
        (all, driftPpm, noise) => {
          // The driver's stamps are good to 0.1 ms.
          const noises = all.map(() => noise.next().value! - 100);
          const sent = deliver(all, { driftPpm, stallMicros: 200_000, noiseMicros: (i) => noises[i]! });
          expect(worstInterval(sent, stampAll(sent))).toBeLessThanOrEqual(1000);
        },
      ),
      { numRuns: 200 },
    );
  });

  it('would be up to 200 ms wrong if they were taken in the callback', () => {
    const sent = deliver(Array(50).fill(137_000), { stallMicros: 200_000 });
    expect(
      worstInterval(
        sent,
        sent.map((s) => s.callbackMicros),
      ),
    ).toBeGreaterThan(60_000);
  });

  it('stay near the true time for an hour of drift, and follow it both ways', () => {
    for (const driftPpm of [-100, 100]) {
      const sent = deliver(Array(36_000).fill(100_000), { driftPpm, stallMicros: 30_000 });
      const stamps = stampAll(sent);
      const last = sent.length - 1;
      expect(Math.abs(stamps[last]! - sent[last]!.trueMicros)).toBeLessThan(5000);
      expect(worstInterval(sent, stamps)).toBeLessThan(200);
    }
  });

  it('never run backwards and never lie more than 10 ms after the callback, whatever the driver says', () => {
    const delta = fc.oneof(fc.double({ min: -2, max: 5, noNaN: true }), fc.constant(Number.NaN));
    const message = fc.record({ delta, passed: fc.nat(3_000_000) });
    fc.assert(
      fc.property(fc.array(message, { maxLength: 60 }), (messages) => {
        const stamps = new MidiStamps();
        let now = 1_000_000_000;
        let last = Number.NEGATIVE_INFINITY;
        for (const { delta, passed } of messages) {
          now += passed;
          const stamp = stamps.stamp(delta, now);
          expect(Number.isInteger(stamp)).toBe(true);
          expect(stamp).toBeGreaterThanOrEqual(last);
          expect(stamp).toBeLessThanOrEqual(Math.max(last, now + 10_000));
          last = stamp;
        }
      }),
      { numRuns: 300 },
    );
  });

  it('take no notice of the first delta, of a large negative one, and even out small negative ones', () => {
    const stamps = new MidiStamps();
    expect(stamps.stamp(17.3, 1_000_000)).toBe(1_000_000);
    expect(stamps.stamp(-0.8, 1_000_100)).toBe(1_000_000);
    expect(stamps.stamp(0.1, 1_100_100)).toBeGreaterThanOrEqual(1_100_000);
    const before = stamps.stamp(0.1, 1_200_100);
    // 0.2 ms back and then 0.2 ms more: the note after it is where it was.
    expect(stamps.stamp(-0.0002, 1_200_200)).toBe(before);
    expect(Math.abs(stamps.stamp(0.1002, 1_300_100) - (before + 100_000))).toBeLessThanOrEqual(60);
  });

  it('bend no interval by more than a thousandth while a late first callback is made good', () => {
    const stamps = new MidiStamps();
    const first = stamps.stamp(0, 1_006_000);
    const times = Array.from({ length: 20 }, (_, i) => stamps.stamp(0.1, 1_100_000 + i * 100_000));
    [first, ...times].slice(0, -1).forEach((time, i) => {
      expect(Math.abs(times[i]! - time - 100_000)).toBeLessThanOrEqual(100);
    });
    // It is being made good: 0.05 % of two seconds.
    expect(times.at(-1)! - 3_000_000).toBeLessThanOrEqual(5000);
  });

  it('recover after a first message that was held up: later ones are not in the future for long', () => {
    const stamps = new MidiStamps();
    stamps.stamp(0, 1_190_000);
    expect(stamps.stamp(0.1, 1_100_000 + 100_000)).toBeLessThanOrEqual(1_200_000);
    expect(stamps.stamp(0.1, 1_300_000)).toBe(1_300_000);
  });
});
