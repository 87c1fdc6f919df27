import { describe, expect, it } from 'vitest';
import { MidiSource } from '../../src/devices/midi-source.ts';
import { monotonicMicros } from '../../src/devices/system-clock.ts';
import type { PlayerEvent } from '../../src/music/player-event.ts';

function listen(source: MidiSource): PlayerEvent[] {
  const events: PlayerEvent[] = [];
  source.start((event) => events.push(event));
  return events;
}

const message = (bytes: number[], at = 1) => ({ type: 'message', at, bytes }) as const;

describe('a MIDI instrument', () => {
  it('is heard on its channel only, when one is set', () => {
    const source = new MidiSource('keys', { channel: 2 });
    const events = listen(source);
    source.hear(message([0x90, 60, 64]));
    source.hear(message([0x91, 62, 64]));
    source.hear(message([0xf3, 1]));
    expect(events.map((event) => event.type)).toEqual(['note-on', 'other']);
    expect(events[0]).toMatchObject({ pitch: 62, channel: 2 });
  });

  it('sounds where its shift puts it; what the shift takes out of range is kept as it came', () => {
    const source = new MidiSource('keys', { shiftSemitones: -12 });
    const events = listen(source);
    source.hear(message([0x90, 72, 64]));
    source.hear(message([0x80, 72, 64]));
    source.hear(message([0x90, 5, 64]));
    source.hear(message([0xb0, 2, 99]));
    expect(events).toEqual([
      { type: 'note-on', at: 1, pitch: 60, velocity: 64, channel: 1 },
      { type: 'note-off', at: 1, pitch: 60, channel: 1 },
      { type: 'other', at: 1, bytes: [0x90, 5, 64] },
      { type: 'controller', at: 1, number: 2, value: 99, channel: 1 },
    ]);
  });

  it('keeps timing clock out of what was played, and hands it to who follows it', () => {
    const clocks: number[] = [];
    const source = new MidiSource('keys', { onClock: (byte) => clocks.push(byte) });
    const events = listen(source);
    for (const byte of [0xfa, 0xf8, 0xfc]) source.hear(message([byte]));
    expect(events).toEqual([]);
    expect(clocks).toEqual([0xfa, 0xf8, 0xfc]);
    const plain = new MidiSource('keys', {});
    const heard = listen(plain);
    plain.hear(message([0xf8]));
    expect(heard).toEqual([]);
  });

  it('passes on that it is lost and found', () => {
    const source = new MidiSource('keys', {});
    const events = listen(source);
    source.hear({ type: 'lost', at: 5, reason: 'the instrument was unplugged' });
    source.hear({ type: 'found', at: 6 });
    expect(events.map((event) => event.type)).toEqual(['lost', 'found']);
  });

  it('tells nothing before it has happened, and keeps the order', async () => {
    const source = new MidiSource('keys', {});
    const late: number[] = [];
    const done = new Promise<void>((resolve) => {
      source.start((event) => {
        late.push(monotonicMicros() - event.at);
        if (late.length === 2) resolve();
      });
    });
    const ahead = monotonicMicros() + 8000;
    source.hear(message([0x90, 60, 64], ahead));
    source.hear(message([0x90, 62, 64], ahead + 1000));
    expect(late).toEqual([]);
    await done;
    expect(Math.min(...late)).toBeGreaterThanOrEqual(0);
  });
});
