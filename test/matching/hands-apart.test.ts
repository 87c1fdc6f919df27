// Two hands that are not quite together, and chords that do not come at once: right notes while they are played. Music
// and takes are ours.

import { describe, expect, it } from 'vitest';
import type { Expectation } from '../../src/matching/expectation.ts';
import { passTime } from '../../src/matching/follow.ts';
import type { PlayedNote } from '../../src/music/played-note.ts';
import { followAll } from './drawn.ts';
import { later, line, perfect } from './takes.ts';

function slipOf(expectation: Expectation, played: readonly PlayedNote[]) {
  const byTime = [...played].sort((a, b) => a.onMicros - b.onMicros);
  return passTime(followAll(expectation, byTime), byTime.at(-1)!.onMicros + 500_000).slip;
}

function withGrace(expectation: Expectation, onset: number, pitch: number): Expectation {
  const grace = { pitch, durationTicks: 0, ornament: 'grace' as const };
  const onsets = expectation.onsets.map((o, i) => (i === onset ? { ...o, notes: [grace, ...o.notes] } : o));
  return { ...expectation, onsets };
}

function moved(notes: readonly PlayedNote[], index: number, byMs: number): PlayedNote {
  return later([notes[index]!], byMs * 1000)[0]!;
}

describe('two hands', () => {
  const octaves = line([60, 72, 62, 74, 64, 76, 65, 77]);
  const notes = perfect(octaves);
  // The fourth note is struck with the third, and heard 5 ms before it.
  const together = [...notes.slice(0, 3), moved(notes, 3, -255), ...notes.slice(4)];

  it('may strike together, the one first whose note is written later', () => {
    expect(slipOf(octaves, together)).toBeUndefined();
  });

  it('are told by the staves where these are known', () => {
    const onOneStaff = octaves.onsets.map((o) => ({ ...o, notes: o.notes.map((n) => ({ ...n, staff: 1 })) }));
    expect(slipOf({ ...octaves, onsets: onOneStaff }, together)).toBeDefined();
  });

  it('strike together: a note of the other hand that has not come a moment later is missing', () => {
    expect(slipOf(octaves, [...notes.slice(0, 2), moved(notes, 3, -255)])).toBeDefined();
  });

  it('of which one has struck a grace note and waits for the other are both right', () => {
    // The upper hand takes its grace note on the beat and its own note after the lower hand's.
    const graced = withGrace(line([74, 50, 59, 47, 73, 59]), 0, 76);
    const plain = perfect(graced);
    const played = [plain[0]!, moved(plain, 2, 0), moved(plain, 1, 375), ...plain.slice(3)];
    expect(slipOf(graced, played)).toBeUndefined();
  });

  it('of which the bass begins early with its grace note are both right', () => {
    // The upper hand goes on in its time while the bass strikes its grace note and its chord three notes early.
    const graced = withGrace(line([92, 85, 94, 80, 92, 85, 94, 80, 91, [37, 56]]), 9, 25);
    const plain = perfect(graced, 0.3);
    const [grace, low, chord] = [moved(plain, 9, -219), moved(plain, 10, -160), moved(plain, 11, 0)];
    const played = [...plain.slice(0, 9), grace, low, chord];
    expect(slipOf(graced, played)).toBeUndefined();
  });
});

describe('a chord', () => {
  const chords = line([
    [48, 64],
    [50, 65],
    [52, 55, 64, 67],
    [53, 69],
    [55, 71],
    [48, 72],
  ]);
  const notes = perfect(chords);

  it('in which the player hesitates for longer than until the next one is right', () => {
    const rest = later(notes.slice(5), 600_000);
    expect(slipOf(chords, [...notes.slice(0, 5), ...rest])).toBeUndefined();
  });

  it('whose bass came long before it is where the next one is counted from', () => {
    const slow = line([
      [55, 60, 72],
      [52, 60, 72],
      [55, 60, 74],
      [55, 61, 74],
      [53, 61, 77],
      [53, 61, 76],
    ]);
    const early = new Map([
      [6, -197],
      [12, -211],
      [15, -179],
    ]);
    const plain = perfect(slow, 0.85);
    expect(
      slipOf(
        slow,
        plain.map((_, i) => moved(plain, i, early.get(i) ?? 0)),
      ),
    ).toBeUndefined();
  });
});

describe('no slip is told while a likely hypothesis is without one', () => {
  it('though another with the same future is likelier', () => {
    const hands = line([74, 52, 76, 52, 79, 76, 52]);
    const plain = perfect(hands, 0.71);
    // Three times the hands come together; before the third note the player thinks for a second.
    const early = new Map([
      [2, -183],
      [4, -187],
      [6, -190],
    ]);
    const played = plain.map((_, i) => moved(plain, i, (early.get(i) ?? 0) + (i < 2 ? 0 : 1177)));
    expect(slipOf(hands, played)).toBeUndefined();
  });

  it('nor by silence, until the next note is late in each of them', () => {
    const steps = [0, 2, 3, 4, 6, 9];
    const plain = line([69, 50, 62, 62, 72, 64]);
    const hands = {
      ...plain,
      tempo: { ...plain.tempo, bpm: 90 },
      onsets: plain.onsets.map((o, i) => ({ ...o, tick: steps[i]! * 2520 })),
    };
    // The first note is held, so the pace is slow: the next two notes come together and the last but one takes its time.
    const at = [0, 1280, 1250, 1490, 2300, 3330];
    const notes = perfect(hands).map((n, i) => ({
      ...n,
      onMicros: at[i]! * 1000,
      offMicros: at[i]! * 1000 + 90_000,
    }));
    expect(slipOf(hands, notes)).toBeUndefined();
  });
});
