// What of a shared keyboard is whose.

import { describe, expect, it } from 'vitest';
import { reaches, type Seat, shareNotes } from '../../src/music/seat.ts';

const strike = (pitch: number, channel = 1) =>
  ({ type: 'note-on', at: 0, pitch, velocity: 80, channel }) as const;

describe('a seat at a shared input', () => {
  it('has its keys, both ends included, on every channel unless one is named', () => {
    const left: Seat = { keys: { lowest: 36, highest: 59 } };
    expect([35, 36, 59, 60].map((pitch) => reaches(strike(pitch), left))).toEqual([false, true, true, false]);
    expect(reaches(strike(40, 9), left)).toBe(true);
    expect(reaches(strike(40, 9), { ...left, channel: 2 })).toBe(false);
  });

  it('hears the pedal of its channel whatever its keys are, and what concerns the input as a whole', () => {
    const seat: Seat = { channel: 2, keys: { lowest: 36, highest: 59 } };
    const pedal = { type: 'controller', at: 0, number: 64, value: 127 } as const;
    expect(reaches({ ...pedal, channel: 2 }, seat)).toBe(true);
    expect(reaches({ ...pedal, channel: 1 }, seat)).toBe(false);
    expect(reaches({ type: 'lost', at: 0, reason: 'unplugged' }, seat)).toBe(true);
  });

  it('shares notes with another exactly where some note reaches both', () => {
    const seats: Seat[] = [undefined, 1, 2].flatMap((channel) =>
      [undefined, { lowest: 40, highest: 50 }, { lowest: 50, highest: 60 }, { lowest: 61, highest: 70 }].map(
        (keys) => ({
          ...(channel === undefined ? {} : { channel }),
          ...(keys === undefined ? {} : { keys }),
        }),
      ),
    );
    for (const a of seats) {
      for (const b of seats) {
        let shared = false;
        for (let pitch = 36; pitch <= 75; pitch += 1)
          for (const channel of [1, 2, 3])
            shared ||= reaches(strike(pitch, channel), a) && reaches(strike(pitch, channel), b);
        expect(shareNotes(a, b)).toBe(shared);
      }
    }
  });
});
