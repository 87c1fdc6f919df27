import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { MidiOut } from '../../src/devices/midi-out.ts';
import { SoundPlan, signalSounds, type TimedSound } from '../../src/devices/timed-sound.ts';

const note = (atMicros: number, endMicros: number, pitch = 60): TimedSound => ({
  atMicros,
  endMicros,
  sound: { kind: 'note', pitch, velocity: 80 },
});

/** Plays a plan through a MIDI output and answers what was sent. */
function send(steps: (plan: SoundPlan, out: MidiOut) => void, loudness = 1): number[][] {
  const sent: number[][] = [];
  const out = new MidiOut({ send: (bytes) => sent.push([...bytes]), destroy: () => {} }, loudness);
  const plan = new SoundPlan();
  steps(plan, out);
  return sent;
}

function play(plan: SoundPlan, out: MidiOut, untilMicros: number): void {
  for (const due of plan.handOver(untilMicros)) {
    if (due.type === 'start') out.start(due.timed);
    else out.end(due.timed);
  }
}

/** Pitches left sounding: note-ons without a later note-off. */
function hanging(sent: readonly number[][]): number[] {
  const held = new Set<number>();
  for (const [status = 0, pitch = 0, velocity] of sent) {
    const key = (status & 0x0f) * 128 + pitch;
    if ((status & 0xf0) === 0x90 && velocity !== 0) held.add(key);
    else if ((status & 0xf0) === 0x80 || (status & 0xf0) === 0x90) held.delete(key);
  }
  return [...held];
}

describe('the plan of sounds', () => {
  it('hands over what is due in order, ends before starts at one instant', () => {
    const plan = new SoundPlan();
    plan.add([note(200, 300, 62), note(100, 200, 60)]);
    expect(plan.nextMicros).toBe(100);
    expect(plan.handOver(99)).toEqual([]);
    const due = plan.handOver(1000).map(({ type, timed }) => [type, timed.atMicros]);
    expect(due).toEqual([
      ['start', 100],
      ['end', 100],
      ['start', 200],
      ['end', 200],
    ]);
    expect(plan.nextMicros).toBe(Number.POSITIVE_INFINITY);
  });

  it('drops what starts at a time of silence or after it, and lets go what sounds', () => {
    const plan = new SoundPlan();
    const long = note(100, 900);
    plan.add([long, note(300, 900, 62), note(500, 600, 64)]);
    plan.handOver(250);
    expect(plan.silenceFrom(500)).toEqual([long]);
    expect(plan.handOver(10_000).map(({ type, timed }) => [type, timed.atMicros])).toEqual([
      ['start', 300],
      ['end', 100],
      ['end', 300],
    ]);
  });

  it('ends at once what sounds past a silence that has begun already', () => {
    const plan = new SoundPlan();
    plan.add([note(100, 900)]);
    plan.handOver(400);
    plan.silenceFrom(50);
    expect(plan.handOver(400).map((due) => due.type)).toEqual(['end']);
  });

  it('never leaves a note hanging, however plans, silences and the end are mixed', () => {
    const sound = fc.tuple(fc.nat(1000), fc.nat(300), fc.integer({ min: 58, max: 62 }));
    const step = fc.oneof(
      fc.record({ add: fc.array(sound, { maxLength: 6 }) }),
      fc.record({ until: fc.nat(1200) }),
      fc.record({ silence: fc.nat(1200) }),
    );
    fc.assert(
      fc.property(fc.array(step, { maxLength: 20 }), fc.boolean(), (steps, closed) => {
        const sent = send((plan, out) => {
          for (const s of steps) {
            if ('add' in s) plan.add(s.add.map(([at, length, pitch]) => note(at, at + length, pitch)));
            else if ('until' in s) play(plan, out, s.until);
            else plan.silenceFrom(s.silence);
          }
          if (closed) out.close();
          else play(plan, out, 1e9);
        });
        expect(hanging(sent)).toEqual([]);
      }),
      { numRuns: 300 },
    );
  });
});

describe('sounds over MIDI', () => {
  // General MIDI 1 percussion key map: 76 Hi Wood Block, 77 Low Wood Block, on channel 10 (status nibble 9).
  it('click with General MIDI wood blocks on channel 10, the bar on the high one, divisions softer', () => {
    const sent = send((plan, out) => {
      const accents = ['bar', 'beat', 'division'] as const;
      plan.add(
        accents.map((accent, i) => ({
          atMicros: i * 100,
          endMicros: i * 100 + 40,
          sound: { kind: 'click', accent },
        })),
      );
      play(plan, out, 1000);
    });
    const ons = sent.filter(([status]) => status === 0x99);
    expect(ons.map(([, pitch]) => pitch)).toEqual([76, 77, 77]);
    expect(ons[2]![2]!).toBeLessThan(ons[1]![2]!);
    expect(sent.filter(([status]) => status === 0x89).map(([, pitch]) => pitch)).toEqual([76, 77, 77]);
  });

  it('signal onward rising and again falling, with neither of the click’s sounds', () => {
    const pitches = (signal: 'onward' | 'again') =>
      send((plan, out) => {
        plan.add(signalSounds(signal, 0));
        play(plan, out, 1e6);
      })
        .filter(([status]) => status === 0x99)
        .map(([, pitch]) => pitch);
    // 67 High Agogo, 68 Low Agogo in the same table.
    expect(pitches('onward')).toEqual([68, 67]);
    expect(pitches('again')).toEqual([67, 68]);
  });

  it('let a note go before it is struck again, and not again at its old end', () => {
    const sent = send((plan, out) => {
      plan.add([note(0, 500), note(300, 800)]);
      play(plan, out, 1000);
    });
    expect(sent).toEqual([
      [0x90, 60, 80],
      [0x80, 60, 64],
      [0x90, 60, 80],
      [0x80, 60, 64],
    ]);
  });

  it('never sink to velocity 0, which would be a release', () => {
    const sent = send((plan, out) => {
      plan.add([note(0, 10)]);
      play(plan, out, 1);
    }, 0.0001);
    expect(sent[0]).toEqual([0x90, 60, 1]);
  });

  it('end with every note let go by name and all notes off', () => {
    const sent = send((plan, out) => {
      plan.add([note(0, 1e9)]);
      play(plan, out, 5);
      out.close();
    });
    // MIDI 1.0: controller 123, value 0, is all notes off.
    expect(sent.slice(1)).toEqual([
      [0x80, 60, 64],
      [0xb0, 123, 0],
      [0xb9, 123, 0],
    ]);
  });
});
