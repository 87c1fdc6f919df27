// Where the matching can lose its place: an unfinished chord, a theme that comes back, hands that are not together, grace
// notes that take their time, and a player who goes on far away. Music and takes are ours.

import { describe, expect, it } from 'vitest';
import { align } from '../../src/matching/align.ts';
import type { Expectation } from '../../src/matching/expectation.ts';
import { alignmentSoFar, follow, passTime, startFollowing } from '../../src/matching/follow.ts';
import type { PlayedNote } from '../../src/music/played-note.ts';
import { followAll } from './drawn.ts';
import { later, line, perfect, verdicts, wandering } from './takes.ts';

/** One step of `line`. */
const STEP_MICROS = 250_000;

const THEME = [60, 67, 64, 72, 71, 69, 65, 62, 67, 59, 60, 64];
const BRIDGE = wandering(60, 3);

function followed(expectation: Expectation, played: readonly PlayedNote[]) {
  const last = Math.max(...played.map((n) => n.onMicros));
  return alignmentSoFar(passTime(followAll(expectation, played), last + 5_000_000));
}

const BOTH = { 'when it is over': align, 'while it is played': followed };

for (const [when, match] of Object.entries(BOTH)) {
  describe(`${when}, the place is kept`, () => {
    it('after one note of a chord of six, the others left out', () => {
      const chords = line([60, 62, [48, 52, 55, 60, 64, 67], 65, 67, 69, 71, 72]);
      const played = perfect(chords).filter((_, i) => i < 3 || i > 7);
      expect(verdicts(match(chords, played).notes)).toBe('rrrmmmmmrrrrr');
    });

    it('where a theme comes back changed and is played as at first: that is no going back to the beginning', () => {
      const changed = THEME.map((pitch, i) => (i % 4 === 3 ? pitch + 2 : pitch));
      const lead = [...THEME, ...wandering(150, 5)];
      const rest = wandering(12, 9);
      const written = line([...lead, ...changed, ...rest]);
      const notes = perfect(line([...lead, ...THEME, ...rest]));
      const from = lead.length;
      const played = [...notes.slice(0, from), ...later(notes.slice(from), 2 * STEP_MICROS)];
      const { notes: told, extras } = match(written, played);
      expect(verdicts(told)).toBe(`${'r'.repeat(from)}rrrwrrrwrrrw${'r'.repeat(12)}`);
      expect(extras).toEqual([]);
    });

    it('where the player goes back farther than a few notes, to no beginning', () => {
      const piece = line([...THEME, ...BRIDGE]);
      const notes = perfect(piece);
      // Up to the 60th note, back to the 25th, on to the end.
      const back = notes[60]!.onMicros - notes[25]!.onMicros + 1_200_000;
      const { notes: told, extras } = match(piece, [...notes.slice(0, 60), ...later(notes.slice(25), back)]);
      expect(verdicts(told)).toMatch(/^r+$/);
      expect(extras).toHaveLength(35);
    });

    it('where the player goes on thirty notes later', () => {
      const piece = line([...THEME, ...BRIDGE]);
      const notes = perfect(piece);
      const skipped = notes[50]!.onMicros - notes[20]!.onMicros - 900_000;
      const { notes: told, extras } = match(piece, [
        ...notes.slice(0, 20),
        ...later(notes.slice(50), -skipped),
      ]);
      expect(verdicts(told)).toBe(`${'r'.repeat(20)}${'m'.repeat(30)}${'r'.repeat(22)}`);
      expect(extras).toEqual([]);
    });

    it('where a grace note comes before the note that the other hand still has to play', () => {
      const plain = line([72, 48, 74, 52, 76, 55]);
      const graced: Expectation = {
        ...plain,
        onsets: plain.onsets.map((o, i) =>
          i === 4 ? { ...o, notes: [{ pitch: 77, durationTicks: 0, ornament: 'grace' }, ...o.notes] } : o,
        ),
      };
      const notes = perfect(plain);
      const grace = { ...notes[3]!, pitch: 77, onMicros: notes[3]!.onMicros - 20_000 };
      const played = [...notes.slice(0, 3), grace, ...notes.slice(3)];
      const { notes: told, extras } = match(graced, played);
      expect(verdicts(told)).toBe('rrrrrrr');
      expect(extras).toEqual([]);
    });

    it('where a flourish of six grace notes begins long before the notes that the other hand still has to play', () => {
      const plain = line([72, 48, 74, 52, 76, 55, 77]);
      const flourish = [79, 81, 83, 84, 86, 88];
      const graces = flourish.map((pitch) => ({ pitch, durationTicks: 0, ornament: 'grace' as const }));
      const graced: Expectation = {
        ...plain,
        onsets: plain.onsets.map((o, i) => (i === 6 ? { ...o, notes: [...graces, ...o.notes] } : o)),
      };
      const notes = perfect(plain);
      const first = notes[3]!.onMicros - 110_000;
      const small = flourish.map((pitch, i) => ({ ...notes[3]!, pitch, onMicros: first + i * 140_000 }));
      const played = [...notes, ...small].sort((a, b) => a.onMicros - b.onMicros);
      const { notes: told, extras } = match(graced, played);
      expect(verdicts(told)).toBe('r'.repeat(13));
      expect(extras).toEqual([]);
    });

    it('where every other turn of a written-out trill is left out', () => {
      const [lead, turns, tail] = [
        [64, 67, 69, 72],
        Array<number[]>(12).fill([60, 62]).flat(),
        [64, 65, 67, 72],
      ];
      const piece = line([...lead, ...turns, ...tail]);
      const quick = 80_000 / STEP_MICROS;
      const notes = perfect(piece, quick);
      // The turns that are played take the time of the others.
      const half = perfect(line([...lead, ...turns.slice(12)]), 2 * quick).slice(4);
      const trill = later(half, notes[4]!.onMicros - half[0]!.onMicros);
      const { notes: told, extras } = match(piece, [...notes.slice(0, 4), ...trill, ...notes.slice(28)]);
      const said = verdicts(told);
      expect(said.slice(0, 4) + said.slice(28)).toBe('rrrrrrrr');
      expect(said.replaceAll('m', '')).toHaveLength(20);
      expect(extras).toEqual([]);
      if (when === 'when it is over') expect(said).not.toMatch(/m{5}/);
    });

    it('where the first note is held so long that it tells a pace six times too slow', () => {
      const piece = line([60, 62, 64, 65, 67, 65, 64, 62, 60, 64, 67, 72, 71, 69, 67, 65, 64, 65, 62, 64]);
      const notes = perfect(piece, 0.5);
      const held = [notes[0]!, ...later(notes.slice(1), 625_000)].filter((_, i) => i !== 12);
      const { notes: told, extras } = match(piece, held);
      expect(verdicts(told)).toBe('rrrrrrrrrrrrmrrrrrrr');
      expect(extras).toEqual([]);
    });

    it('where two voices of one line are not quite together', () => {
      // The lower voice a sixth of a step after the upper one; played a little before it.
      const upper = line([72, 74, 76, 77, 79, 81]);
      const lower = [48, 52, 55, 48, 52, 57].map((pitch, i) => ({
        tick: upper.onsets[i]!.tick + Math.round(upper.onsets[1]!.tick / 6),
        notes: [{ pitch, durationTicks: upper.onsets[0]!.notes[0]!.durationTicks }],
      }));
      const onsets = [...upper.onsets, ...lower].sort((a, b) => a.tick - b.tick);
      const voices = { ...upper, onsets };
      const played = perfect(voices).map((n) => (n.pitch < 60 ? { ...n, onMicros: n.onMicros - 60_000 } : n));
      played.sort((a, b) => a.onMicros - b.onMicros);
      const { notes: told, extras } = match(voices, played);
      expect(verdicts(told)).toBe('rrrrrrrrrrrr');
      expect(extras).toEqual([]);
    });
  });
}

describe('while it is played', () => {
  it('a note is not missed when it comes a moment after the next one', () => {
    const piece = line([48, 72, 50, 74, 52, 76, 53, 77]);
    const notes = perfect(piece, 0.4);
    // Two hands at 100 ms a note: the third note 50 ms late, the fourth 20 ms before it.
    const third = { ...notes[2]!, onMicros: notes[2]!.onMicros + 50_000 };
    const fourth = { ...notes[3]!, onMicros: third.onMicros - 20_000 };
    const played = [...notes.slice(0, 2), fourth, third, ...notes.slice(4)];
    expect(followAll(piece, played).slip).toBeUndefined();
  });

  it('a note left out is told as soon as it is too late, though what came in its place is still in doubt', () => {
    const piece = line([48, 72, 50, 74, 52, 76, 53, 77]);
    // 125 ms a note, and the third is left out.
    const follower = followAll(
      piece,
      perfect(piece, 0.5)
        .filter((_, i) => i !== 2)
        .slice(0, 3),
    );
    const last = follower.played.at(-1)!.onMicros;
    expect(passTime(follower, last + 120_000).slip?.atMicros).toBeLessThan(last + 100_000);
  });

  it('a note left out of a quick chord is told before the next chord but one, and not at once', () => {
    const piece = line([
      [48, 60, 64],
      [50, 62, 65],
      [52, 64, 67],
      [53, 65, 69],
    ]);
    // 100 ms a chord; the second lacks its middle note.
    const played = perfect(piece, 0.4).filter((_, i) => i < 9 && i !== 4);
    const follower = played.reduce(follow, startFollowing(piece));
    const last = played.at(-1)!.onMicros;
    expect(passTime(follower, last + 70_000).slip).toBeUndefined();
    expect(passTime(follower, last + 80_000).slip).toMatchObject({ kind: 'missed', onset: 1 });
  });

  it('a note is right, and silence after it changes nothing, though its grace note came early and it came late', () => {
    const plain = line([60, 62, 64, 65, 67, 69]);
    const graced: Expectation = {
      ...plain,
      onsets: plain.onsets.map((o, i) =>
        i === 3 ? { ...o, notes: [{ pitch: 67, durationTicks: 0, ornament: 'grace' }, ...o.notes] } : o,
      ),
    };
    const notes = perfect(plain);
    const grace = { ...notes[2]!, pitch: 67, onMicros: notes[2]!.onMicros + 60_000 };
    const main = later([notes[3]!], 170_000)[0]!;
    const follower = followAll(graced, [...notes.slice(0, 3), grace, main]);
    expect(passTime(follower, main.onMicros + 1_000_000).slip).toBeUndefined();
  });

  it('a key that two voices write together is struck once, be it the first of its chord', () => {
    const piece = line([[60, 60, 76], 65, 67, 69]);
    const chord = perfect(line([[60, 76], 65, 67, 69]));
    const played = [chord[0]!, { ...chord[1]!, onMicros: chord[1]!.onMicros + 80_000 }, ...chord.slice(2)];
    const follower = passTime(followAll(piece, played), 1e8);
    expect(verdicts(follower.committed)).toBe('rorrrr');
    expect(follower.slip).toBeUndefined();
  });

  it('a note is not missed while small notes before it are still being played', () => {
    const graces = [64, 65, 67, 69, 71, 69, 67, 65].map((pitch) => ({
      pitch,
      durationTicks: 0,
      ornament: 'grace' as const,
    }));
    const plain = line([60, 62, 64]);
    const graced: Expectation = {
      ...plain,
      onsets: plain.onsets.map((o, i) => (i === 1 ? { ...o, notes: [...graces, ...o.notes] } : o)),
    };
    // The run of small notes takes four seconds.
    const notes = perfect(plain);
    const small = graces.map(({ pitch }, i) => ({
      pitch,
      onMicros: notes[0]!.onMicros + (i + 1) * 500_000,
      offMicros: notes[0]!.onMicros + (i + 1) * 500_000 + 300_000,
      velocity: 60,
    }));
    const played = [notes[0]!, ...small, ...later(notes.slice(1), 4_300_000)];
    const follower = passTime(followAll(graced, played), 1e8);
    expect(verdicts(follower.committed)).toBe('rrrrrrrrrrr');
    expect(follower.slip).toBeUndefined();
  });
});
