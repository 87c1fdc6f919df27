// Where in its take a session is, from the first click to the end of the hold.

import { describe, expect, it } from 'vitest';
import { holdBeatsLeft } from '../../src/session/coming.ts';
import type { SessionEvent } from '../../src/session/event.ts';
import { type Session, takeOf } from '../../src/session/session.ts';
import { begin, liveSession, press, SECOND, strike, wait } from './live-session.ts';
import { fiveNotesPlan } from './simulate.ts';

const [C, D, E_FLAT, E] = [60, 62, 63, 64];

describe('a take', () => {
  it('that lands: waits, is counted in, played and held, and the next one is entered from the landing', async () => {
    const phase = await phases('landings', [strike(C, 5.5), strike(D, 6.5)]);
    expect(phase(1.4, 1.5, 5.4, 5.5, 6.4, 6.5, 7.9, 8.4, 8.5)).toEqual([
      'waiting',
      'lead-in',
      'lead-in',
      'playing',
      'playing',
      'held',
      'held',
      'held',
      'playing',
    ]);
  });

  it('that slips goes on to the next beat and rests; one without a landing rests at its end', async () => {
    const slipped = await phases('through', [strike(C, 5.5), strike(E_FLAT, 6.5)]);
    expect(slipped(6.4, 6.6, 7.4, 7.5, 8.1)).toEqual(['playing', 'slipped', 'slipped', 'resting', 'resting']);
    const right = await phases(
      'through',
      [C, D, E, 65, 67].map((pitch, i) => strike(pitch, 5.5 + i)),
    );
    expect(right(9.4, 9.6, 13.4)).toEqual(['playing', 'resting', 'finished']);
  });

  it('that slips on the way to a landing is not held there', async () => {
    const phase = await phases('landings', [strike(C, 5.5), strike(E_FLAT, 6.5)], 'set every 4');
    expect(phase(7.4, 7.6)).toEqual(['slipped', 'resting']);
  });

  it('without a click is entered when the player likes', async () => {
    const phase = await phases('switchback', [strike(C, 20)]);
    expect(phase(1.4, 1.6, 19, 20.1)).toEqual(['waiting', 'entering', 'entering', 'playing']);
  });

  it('that is heard first is listened to, then waits and is counted in', async () => {
    const phase = await phases('landings', [press('hear', 3)]);
    // Two notes of a second each, 10 ms short, from 3.3 s; 0.7 s later the first click.
    expect(phase(3.1, 5.2, 5.3, 5.9, 6)).toEqual(['listening', 'listening', 'waiting', 'waiting', 'lead-in']);
  });
});

describe('the beats of a hold', () => {
  it('are counted down to one, before and after the verdict, and there are none elsewhere', async () => {
    const beats = await looked([strike(C, 5.5), strike(D, 6.5)], 'landings', '');
    expect([6.4, 6.5, 7.4, 7.5, 7.9, 8.1, 8.49, 8.5].map((at) => holdBeatsLeft(beats(at)))).toEqual([
      undefined,
      2,
      2,
      1,
      1,
      1,
      1,
      undefined,
    ]);
  });

  it('are none at a rest', async () => {
    const rest = await looked([strike(C, 5.5), strike(E_FLAT, 6.5)], 'through', '');
    expect([7.6, 8.1].map((at) => holdBeatsLeft(rest(at)))).toEqual([undefined, undefined]);
  });
});

it('a step heard first is counted in 0.7 s after its last note, and is tried from the first again', async () => {
  const session = await looked([press('hear', 3)], 'landings', '');
  expect(takeOf(session(6))).toMatchObject({ attempt: 1, beginMicros: 5.99 * SECOND });
  expect(session(4).stage).toMatchObject({ kind: 'listening', soundedUntilMicros: 5.29 * SECOND });
  expect(session(5.5).stage).not.toHaveProperty('soundedUntilMicros');
});

// Helpers

/** The session at a time, in seconds, when these events came before it. */
async function looked(events: readonly SessionEvent[], drill: string, more: string) {
  const plan = await fiveNotesPlan(`set drill ${drill}`, more);
  return (seconds: number): Session => {
    const before = events.filter(({ at }) => at <= seconds * SECOND);
    return liveSession(plan).told(begin(), ...before, wait(seconds));
  };
}

async function phases(drill: string, events: readonly SessionEvent[], more = '') {
  const at = await looked(events, drill, more);
  return (...seconds: readonly number[]) => seconds.map((second) => at(second).stage.kind);
}
