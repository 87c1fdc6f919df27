import { describe, expect, it } from 'vitest';
import { basePitchFor, KeyboardSource, pitchOfKey } from '../../src/devices/keyboard-source.ts';
import type { PlayerEvent } from '../../src/music/player-event.ts';
import type { Clock } from '../../src/ports/clock.ts';

/** A clock that is wound by hand. */
class WoundClock implements Clock {
  now = 1_000_000;
  #waiting: { at: number; callback: () => void }[] = [];
  nowMicros(): number {
    return this.now;
  }
  date(): Date {
    return new Date(0);
  }
  wakeAt(at: number, callback: () => void): () => void {
    const waiting = { at, callback };
    this.#waiting.push(waiting);
    return () => {
      this.#waiting = this.#waiting.filter((other) => other !== waiting);
    };
  }
  wind(micros: number): void {
    this.now += micros;
    const due = this.#waiting.filter(({ at }) => at <= this.now);
    this.#waiting = this.#waiting.filter(({ at }) => at > this.now);
    for (const { callback } of due) callback();
  }
}

function play(basePitch?: number): { clock: WoundClock; source: KeyboardSource; events: PlayerEvent[] } {
  const clock = new WoundClock();
  const source = new KeyboardSource(clock, basePitch === undefined ? {} : { basePitch });
  const events: PlayerEvent[] = [];
  source.start((event) => events.push(event));
  return { clock, source, events };
}

describe('the computer keyboard as an instrument', () => {
  it('has the white keys on the home row and the black ones above it, over an octave and a half', () => {
    const row = (keys: string) => [...keys].map((name) => pitchOfKey({ name }));
    expect(row("asdfghjkl;'")).toEqual([60, 62, 64, 65, 67, 69, 71, 72, 74, 76, 77]);
    expect(row('wetyuop')).toEqual([61, 63, 66, 68, 70, 73, 75]);
  });

  it('leaves every control to be a control', () => {
    const { source, events } = play();
    const controls = [
      'space',
      'enter',
      'escape',
      'up',
      'down',
      'left',
      'right',
      'pageup',
      'pagedown',
      'C-c',
      'S-a',
      'q',
      '1',
    ];
    expect(controls.filter((name) => source.press({ name }))).toEqual([]);
    expect(events).toEqual([]);
  });

  it('lets a note go at a made-up length, or when the next one comes', () => {
    const { clock, source, events } = play();
    expect(source.press({ name: 'a' })).toBe(true);
    clock.wind(200_000);
    source.press({ name: 's' });
    clock.wind(300_000);
    expect(events).toEqual([
      { type: 'note-on', at: 1_000_000, pitch: 60, velocity: 80, channel: 1 },
      { type: 'note-off', at: 1_200_000, pitch: 60, channel: 1 },
      { type: 'note-on', at: 1_200_000, pitch: 62, velocity: 80, channel: 1 },
      { type: 'note-off', at: 1_500_000, pitch: 62, channel: 1 },
    ]);
  });

  it('takes the quick repeats of a held key for one note, and two strikes for two', () => {
    const { clock, source, events } = play();
    source.press({ name: 'a' });
    for (let i = 0; i < 20; i += 1) {
      clock.wind(33_000);
      source.press({ name: 'a' });
    }
    expect(events.filter((event) => event.type === 'note-on')).toHaveLength(1);
    clock.wind(150_000);
    source.press({ name: 'a' });
    expect(events.filter((event) => event.type === 'note-on')).toHaveLength(2);
  });

  it('lies where the passage lies, from a C when that reaches', () => {
    expect(basePitchFor([62, 76])).toBe(60);
    expect(basePitchFor([67, 84])).toBe(67);
    const { source, events } = play(48);
    source.press({ name: 'a' });
    expect(events[0]).toMatchObject({ pitch: 48 });
  });

  it('leaves no note sounding when it is closed', async () => {
    const { source, events } = play();
    source.press({ name: 'g' });
    await source.close();
    expect(events.map((event) => event.type)).toEqual(['note-on', 'note-off']);
  });
});
