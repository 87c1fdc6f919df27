import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readEvents, writeEvents } from '../../src/devices/event-bytes.ts';
import type { PlayerEvent } from '../../src/music/player-event.ts';

const at = fc.integer({ min: -1e6, max: 2 ** 45 });
const data = fc.nat(127);
const channel = fc.integer({ min: 1, max: 16 });
const event: fc.Arbitrary<PlayerEvent> = fc.oneof(
  fc.record({ type: fc.constant('note-on' as const), at, pitch: data, velocity: data, channel }),
  fc.record({ type: fc.constant('note-off' as const), at, pitch: data, channel }),
  fc.record({ type: fc.constant('controller' as const), at, number: data, value: data, channel }),
  fc.record({ type: fc.constant('other' as const), at, bytes: fc.array(fc.nat(255), { maxLength: 200 }) }),
  fc.record({ type: fc.constant('lost' as const), at, reason: fc.string({ unit: 'grapheme' }) }),
  fc.record({ type: fc.constantFrom('found' as const, 'ended' as const), at }),
);

describe('a take’s events as bytes', () => {
  it('come back as they were', () => {
    fc.assert(
      fc.property(fc.array(event, { maxLength: 40 }), (events) => {
        expect(readEvents(writeEvents(events))).toEqual(events);
      }),
      { numRuns: 200 },
    );
  });

  it('take fewer than eight bytes a note', () => {
    const notes = Array.from(
      { length: 100 },
      (_, i): PlayerEvent => ({
        type: 'note-on',
        at: 3_000_000_000 + i * 250_000,
        pitch: 60 + (i % 12),
        velocity: 70,
        channel: 1,
      }),
    );
    expect(writeEvents(notes).length / notes.length).toBeLessThan(8);
  });

  it('are refused when they are cut short or of another format', () => {
    const bytes = writeEvents([{ type: 'note-on', at: 5, pitch: 60, velocity: 64, channel: 1 }]);
    for (let length = 2; length < bytes.length; length += 1) {
      expect(() => readEvents(bytes.slice(0, length)), `${length} bytes`).toThrow(/middle of an event/);
    }
    expect(() => readEvents(Uint8Array.of(9))).toThrow(/format 9/);
    expect(() => readEvents(Uint8Array.of(1, 0, 77))).toThrow(/unknown kind/);
  });
});
