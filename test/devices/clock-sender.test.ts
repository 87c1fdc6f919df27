// Our pulse as MIDI clock. MIDI 1.0, System Real-Time Messages: 24 timing clocks (F8) a quarter note; start (FA) means
// that the next clock is the first beat; stop is FC.

import { describe, expect, it } from 'vitest';
import { readClock } from '../../src/commands/clock-argument.ts';
import { ClockSender } from '../../src/devices/clock-sender.ts';
import type { ClockPulse } from '../../src/devices/midi-clock.ts';
import { ClockFollower } from '../../src/devices/midi-clock.ts';
import { MidiOut } from '../../src/devices/midi-out.ts';
import { SoundPlan } from '../../src/devices/timed-sound.ts';
import type { Run } from '../../src/drills/step.ts';
import { TICKS_PER_QUARTER as Q } from '../../src/music/ticks.ts';
import { fettle } from '../commands/run.ts';

const [CLOCK, START, STOP] = [0xf8, 0xfa, 0xfc];

describe('our pulse as MIDI clock', () => {
  it('runs at 24 a quarter from the first click to the end of the hold, started on the downbeat', () => {
    const outlet = new KeptOutlet();
    new ClockSender(outlet).lead({ run: RUN, zeroMicros: 10_000_000 });
    // A lead-in of four beats from 2 s before zero, a run of two beats, a hold of two: eight quarters at 120.
    expect(outlet.of(CLOCK)).toHaveLength(8 * 24);
    expect(outlet.of(CLOCK)[0]).toBe(8_000_000);
    expect(outlet.of(CLOCK)[24]).toBe(8_500_000);
    expect(outlet.of(START)).toEqual([8_499_000]);
    expect(outlet.of(STOP)).toEqual([12_000_000]);
  });

  it('is followed by another machine at its tempo and on its beats', () => {
    const outlet = new KeptOutlet();
    new ClockSender(outlet).lead({ run: RUN, zeroMicros: 10_000_000 });
    const follower = new ClockFollower();
    for (const { byte, atMicros } of outlet.pulses.filter((one) => one.atMicros < 9_900_000))
      follower.take(byte, atMicros);
    expect(follower.followed!.tempoBpm).toBeCloseTo(120, 3);
    expect(follower.followed!.quarterAtMicros).toBeCloseTo(9_500_000, -1);
  });

  it('goes on through a joined take without a stop or a new start', () => {
    const outlet = new KeptOutlet();
    const sender = new ClockSender(outlet);
    sender.lead({ run: RUN, zeroMicros: 10_000_000 });
    sender.lead({ run: RUN, zeroMicros: 12_000_000 });
    expect(outlet.of(START)).toHaveLength(1);
    expect(outlet.of(STOP)).toEqual([14_000_000]);
    const clocks = outlet.of(CLOCK);
    const gaps = clocks.slice(1).map((at, i) => at - clocks[i]!);
    expect(Math.max(...gaps) - Math.min(...gaps)).toBeLessThanOrEqual(1);
  });

  it('stops where the click stops, and starts anew with the next lead-in', () => {
    const outlet = new KeptOutlet();
    const sender = new ClockSender(outlet);
    sender.lead({ run: RUN, zeroMicros: 10_000_000 });
    sender.silenceFrom(10_700_000);
    expect(outlet.of(STOP)).toEqual([10_700_000]);
    expect(Math.max(...outlet.of(CLOCK))).toBeLessThan(10_700_000);
    sender.silenceFrom(10_800_000);
    expect(outlet.of(STOP)).toHaveLength(1);
    sender.lead({ run: RUN, zeroMicros: 14_000_000 });
    expect(outlet.of(START)).toEqual([8_499_000, 12_499_000]);
  });

  it('is told once by each of several players and is sent once', () => {
    const outlet = new KeptOutlet();
    const sender = new ClockSender(outlet);
    for (let player = 0; player < 4; player += 1) sender.lead({ run: RUN, zeroMicros: 10_000_000 });
    expect(outlet.of(START)).toHaveLength(1);
    expect(outlet.of(CLOCK)).toHaveLength(8 * 24);
  });

  it('leaves a step without a click alone', () => {
    const outlet = new KeptOutlet();
    new ClockSender(outlet).lead({ run: { ...RUN, pulse: 'free' }, zeroMicros: 0 });
    expect(outlet.pulses).toEqual([]);
  });

  it('never runs on when the output is closed', () => {
    const sent: number[] = [];
    const out = new MidiOut({ send: (bytes) => void sent.push(bytes[0]!), destroy: () => {} }, 1);
    const plan = new SoundPlan();
    plan.add(
      [START, CLOCK].map((byte, i) => ({ atMicros: i, endMicros: i, sound: { kind: 'pulse', byte } })),
    );
    for (const due of plan.handOver(10)) if (due.type === 'start') out.start(due.timed);
    out.close();
    expect(sent.filter((byte) => byte >= CLOCK)).toEqual([START, CLOCK, STOP]);
  });
});

describe('--clock', () => {
  it('names a way and a port', () => {
    expect(readClock('send:drum machine')).toEqual({ kind: 'send', port: 'drum machine' });
    expect(readClock('follow:Tidewrack keys')).toEqual({ kind: 'follow', port: 'Tidewrack keys' });
  });

  it.each([
    ['work slipway --from model --clock drum', /Cannot use the clock "drum"/],
    ['work slipway --from model --clock send:', /Cannot use the clock "send:"/],
    ['work slipway --from model --fast --clock send:drum', /Cannot share a clock in a fast run/],
  ])('%s is refused', async (line, words) => {
    const ran = await fettle(line);
    expect(ran.err).toMatch(words);
    expect(ran.status).toBe(2);
  });
});

// Helpers

/** Two beats and a hold of two at 120, entered on the fourth beat of a bar: the lead-in begins on its fourth beat. */
const RUN: Run = {
  name: 'beats 4 to 2',
  tempo: { bpm: 120, beatTicks: Q },
  pulse: 'click',
  startTick: 0,
  stopTick: 2 * Q,
  landing: true,
  joinsNext: true,
  leadInBeats: 4,
  holdBeats: 2,
  endTick: 4 * Q,
  clicks: [-4, -3, -2, -1, 0, 1, 2, 3].map((beat) => ({
    tick: beat * Q,
    accent: (beat + 3) % 4 === 0 ? 'bar' : 'beat',
  })),
  beats: [0, 1, 2, 3, 4].map((beat) => beat * Q),
};

class KeptOutlet {
  pulses: ClockPulse[] = [];

  scheduleClock(pulses: readonly ClockPulse[]): void {
    this.pulses = [...this.pulses, ...pulses].sort((a, b) => a.atMicros - b.atMicros);
  }

  silenceFrom(atMicros: number): void {
    this.pulses = this.pulses.filter((pulse) => pulse.atMicros < atMicros);
  }

  async close(): Promise<void> {}

  of(byte: number | undefined): number[] {
    return this.pulses.filter((pulse) => pulse.byte === byte).map(({ atMicros }) => atMicros);
  }
}
