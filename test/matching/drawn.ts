// Lines and takes drawn at random for the property tests, and a player whose slips are known.

import fc from 'fast-check';
import type { Expectation } from '../../src/matching/expectation.ts';
import { type Follower, follow, passTime, release, startFollowing } from '../../src/matching/follow.ts';
import type { PlayedNote } from '../../src/music/played-note.ts';
import { line, ZERO_MICROS } from './takes.ts';

/** Lines of 1 to 20 onsets in uneven rhythm; some have chords. */
export function drawnExpectation(): fc.Arbitrary<Expectation> {
  const moment = fc.oneof(
    { weight: 5, arbitrary: fc.integer({ min: 55, max: 84 }).map((p) => [p]) },
    {
      weight: 1,
      arbitrary: fc.uniqueArray(fc.integer({ min: 40, max: 84 }), { minLength: 2, maxLength: 4 }),
    },
  );
  return fc
    .array(fc.tuple(moment, fc.constantFrom(2520, 5040, 7560, 10_080)), { minLength: 1, maxLength: 20 })
    .map((rows) => {
      let tick = 0;
      const onsets = rows.map(([pitches, durationTicks]) => {
        const onset = {
          tick,
          notes: pitches.sort((a, b) => a - b).map((pitch) => ({ pitch, durationTicks })),
        };
        tick += durationTicks;
        return onset;
      });
      return { ...line([60]), onsets };
    });
}

/** Anything at all: notes with the same stamp, overlapping notes of one pitch, flurries. */
export function noiseTake(): fc.Arbitrary<PlayedNote[]> {
  return fc
    .array(
      fc.record({
        gap: fc.oneof(fc.constant(0), fc.integer({ min: 0, max: 900_000 })),
        pitch: fc.integer({ min: 50, max: 90 }),
        lasts: fc.integer({ min: 0, max: 800_000 }),
      }),
      { maxLength: 40 },
    )
    .map((rows) => {
      let at = ZERO_MICROS;
      return rows.map(({ gap, pitch, lasts }) => {
        at += gap;
        return { pitch, onMicros: at, offMicros: at + lasts, velocity: 64 };
      });
    });
}

export interface DrawnTake {
  readonly expectation: Expectation;
  readonly played: readonly PlayedNote[];
}

type Slip = 'none' | 'wrong' | 'missed' | 'added' | 'blip' | 'hesitated' | 'restart';

/** A take with uneven time, legato overlap and at each onset perhaps a slip. */
export function drawnTake(): fc.Arbitrary<DrawnTake> {
  const slip = fc.oneof(
    { weight: 8, arbitrary: fc.constant<Slip>('none') },
    {
      weight: 1,
      arbitrary: fc.constantFrom<Slip>('wrong', 'missed', 'added', 'blip', 'hesitated', 'restart'),
    },
  );
  return fc
    .tuple(
      drawnExpectation(),
      fc.array(slip, { minLength: 20, maxLength: 20 }),
      fc.array(fc.integer({ min: -12, max: 12 }), { minLength: 20, maxLength: 20 }),
    )
    .map(([expectation, slips, unevenMs]) => ({
      expectation,
      played: playWith(expectation, slips, unevenMs),
    }));
}

/** Plays an expectation at its tempo, each onset `unevenMs` off, with the slips asked for. */
export function playWith(
  expectation: Expectation,
  slips: readonly Slip[],
  unevenMs: readonly number[],
): PlayedNote[] {
  const microsPerTick = 60_000_000 / (expectation.tempo.bpm * expectation.tempo.beatTicks);
  const played: PlayedNote[] = [];
  let delay = ZERO_MICROS;
  const play = (pitch: number, at: number, lasts: number): void => {
    played.push({ pitch, onMicros: Math.round(at), offMicros: Math.round(at + lasts), velocity: 80 });
  };
  const sound = (index: number, by = 0): void => {
    const onset = expectation.onsets[index]!;
    const at = delay + onset.tick * microsPerTick + unevenMs[index % unevenMs.length]! * 1000;
    for (const [k, n] of onset.notes.entries()) {
      play(n.pitch + (k === 0 ? by : 0), at + k * 3000, n.durationTicks * microsPerTick * 1.03);
    }
  };
  for (const [i, onset] of expectation.onsets.entries()) {
    const slip = slips[i] ?? 'none';
    const step = onset.notes[0]!.durationTicks * microsPerTick;
    if (slip === 'hesitated') delay += 700_000;
    if (slip === 'restart' && i > 1) {
      delay += (onset.tick - expectation.onsets[i - 2]!.tick) * microsPerTick + 600_000;
      sound(i - 2);
      sound(i - 1);
    }
    if (slip === 'blip') {
      play(onset.notes[0]!.pitch + 5, delay + onset.tick * microsPerTick - 30_000, 25_000);
    }
    if (slip === 'missed') continue;
    sound(i, slip === 'wrong' ? 1 : 0);
    if (slip === 'added')
      play(onset.notes[0]!.pitch + 4, delay + (onset.tick * microsPerTick + step / 2), step / 2);
  }
  return played.sort((a, b) => a.onMicros - b.onMicros);
}

/** Every note-on and release in the order of time; with `cutMicros`, looked at in between as well. */
export function followAll(
  expectation: Expectation,
  played: readonly PlayedNote[],
  cutMicros?: number,
): Follower {
  const events = played
    .flatMap(({ pitch, onMicros, offMicros, velocity }) => [
      { at: onMicros, apply: (f: Follower) => follow(f, { pitch, onMicros, velocity }) },
      { at: offMicros ?? onMicros, apply: (f: Follower) => release(f, pitch, offMicros ?? onMicros) },
    ])
    .sort((a, b) => a.at - b.at);
  let follower = startFollowing(expectation);
  let now = 0;
  for (const { at, apply } of events) {
    if (cutMicros) {
      for (let t = Math.max(now, at - 20 * cutMicros); t < at; t += cutMicros)
        follower = passTime(follower, t);
    }
    follower = apply(follower);
    now = at;
  }
  return follower;
}
