// Input that no passage foresees: never a crash, never a hang, always a verdict that makes sense.

import { describe, expect, it } from 'vitest';
import { align } from '../../src/matching/align.ts';
import { alignmentSoFar, follow, passTime, release, startFollowing } from '../../src/matching/follow.ts';
import type { PlayedNote } from '../../src/music/played-note.ts';
import { judge } from '../../src/take/judge.ts';
import { standouts } from '../../src/take/standouts.ts';
import { TOLERANCES } from '../../src/take/tolerance.ts';
import { sample } from '../sample.ts';
import { followAll } from './drawn.ts';
import { line, perfect, take, verdicts, ZERO_MICROS } from './takes.ts';

const SCALE = line([60, 62, 64, 65, 67, 69, 71, 72], { pulse: 'click', zeroMicros: ZERO_MICROS });
const kinds = (played: readonly PlayedNote[]) => {
  const verdict = judge(SCALE, played, align(SCALE, played), { tolerance: TOLERANCES.steady });
  return verdict.troubles.map((t) => t.kind);
};

describe('wild input', () => {
  it('overlapping notes of one pitch are a note and an added one', () => {
    const played = take([
      [0, 60],
      [90, 60, 400],
      [250, 62],
      [500, 64],
      [750, 65],
      [1000, 67],
      [1250, 69],
      [1500, 71],
      [1750, 72],
    ]);
    expect(kinds(played)).toEqual(['extra']);
  });

  it('notes with the same stamp each get one slot', () => {
    const played = take([
      [0, 60],
      [250, 62],
      [250, 64],
      [250, 65],
      [1000, 67],
      [1250, 69],
      [1500, 71],
      [1750, 72],
    ]);
    expect(verdicts(align(SCALE, played).notes)).toBe('rrrrrrrr');
    expect(kinds(played)).toEqual(['uneven']);
  });

  it('a release without a note changes nothing', () => {
    const first = follow(startFollowing(SCALE), perfect(SCALE)[0]!);
    expect(alignmentSoFar(release(first, 99, ZERO_MICROS + 10_000))).toEqual(alignmentSoFar(first));
  });

  it('notes before the lead-in ends are added ones, and the take is judged from its beginning', () => {
    const played = [
      ...take([
        [-1500, 72, 90],
        [-1200, 55, 90],
      ]),
      ...perfect(SCALE),
    ];
    const { notes, extras } = align(SCALE, played);
    expect(verdicts(notes)).toBe('rrrrrrrr');
    expect(extras.map((e) => [e.played, e.before])).toEqual([
      [0, 0],
      [1, 0],
    ]);
  });

  it('a passage of one note is right, wrong or missed', () => {
    const one = line([67], { pulse: 'click', zeroMicros: ZERO_MICROS });
    const said = (played: readonly PlayedNote[]) =>
      judge(one, played, align(one, played), { tolerance: TOLERANCES.steady }).troubles.map((t) => t.kind);
    expect(said(take([[0, 67]]))).toEqual([]);
    expect(said(take([[0, 66]]))).toEqual(['wrong']);
    expect(said([])).toEqual(['silent']);
    expect(followAll(one, take([[0, 67]])).complete).toBe(true);
  });

  it('silence is missed note by note, each at its own time', () => {
    const done = passTime(startFollowing(SCALE), 1e10);
    expect(verdicts(done.committed)).toBe('mmmmmmmm');
    expect(done.slip).toMatchObject({ kind: 'missed', onset: 0, atMicros: ZERO_MICROS + 2_000_000 });
    expect(standouts([])).toEqual([]);
  });

  it('a passage of fast repeated notes is not a heap of blips', () => {
    const repeated = line([64, 64, 64, 64, 64, 64, 64, 64], { tempo: { bpm: 150, beatTicks: 10_080 } });
    expect(align(repeated, perfect(repeated)).extras).toEqual([]);
  });

  it('a take of 100,000 notes (in the quick tests 10,000) is matched and followed', () => {
    const count = sample(100_000, 10_000);
    const pitches = [60, 62, 64, 65, 67, 69, 71, 72];
    const played = Array.from({ length: count }, (_, i) => ({
      pitch: pitches[(i * 7) % 8]! + (i % 5 === 0 ? 1 : 0),
      onMicros: ZERO_MICROS + i * 60_000,
      offMicros: ZERO_MICROS + i * 60_000 + 50_000,
      velocity: 70,
    }));
    const { notes, extras } = align(SCALE, played);
    expect(notes.filter((n) => n.played !== undefined).length + extras.length).toBe(count);
    let follower = startFollowing(SCALE);
    for (const note of played) follower = follow(follower, note);
    expect(follower.played).toHaveLength(count);
  });
});
