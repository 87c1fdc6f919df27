import { describe, expect, it } from 'vitest';
import { align } from '../../src/matching/align.ts';
import { line, perfect, take, verdicts } from './takes.ts';

const SCALE = line([60, 62, 64, 65, 67, 69, 71, 72]);

function read(expectation: Parameters<typeof align>[0], played: Parameters<typeof align>[1]) {
  const { notes, extras } = align(expectation, played);
  return { notes: verdicts(notes), extras: extras.map((e) => `${e.kind} ${e.played}<${e.before}`) };
}

describe('a finished take', () => {
  it('is all right when played as written, at any pace from 0.4 to 2 times the tempo', () => {
    for (const slower of [0.5, 1, 2.5]) {
      expect(read(SCALE, perfect(SCALE, slower))).toEqual({ notes: 'rrrrrrrr', extras: [] });
    }
  });

  it('has one wrong note where a neighbour was struck, and nothing after it shifts', () => {
    const played = perfect(SCALE).map((n, i) => (i === 3 ? { ...n, pitch: 66 } : n));
    expect(read(SCALE, played)).toEqual({ notes: 'rrrwrrrr', extras: [] });
  });

  it('has one missed note when its time was kept, and when it was skipped', () => {
    const kept = perfect(SCALE).filter((_, i) => i !== 3);
    expect(read(SCALE, kept)).toEqual({ notes: 'rrrmrrrr', extras: [] });
    const skipped = kept.map((n) => (n.pitch > 65 ? { ...n, onMicros: n.onMicros - 250_000 } : n));
    expect(read(SCALE, skipped)).toEqual({ notes: 'rrrmrrrr', extras: [] });
  });

  it('has an extra note where one was added in time or took time of its own', () => {
    const squeezed = take([
      [0, 60],
      [250, 62],
      [375, 66],
      [500, 64],
      [750, 65],
    ]);
    const shifted = take([
      [0, 60],
      [250, 62],
      [500, 66],
      [750, 64],
      [1000, 65],
    ]);
    const four = line([60, 62, 64, 65]);
    for (const played of [squeezed, shifted]) {
      expect(read(four, played)).toEqual({ notes: 'rrrr', extras: ['extra 2<2'] });
    }
  });

  it('has a blip where a short third note sounded between two right ones', () => {
    const played = take([
      [0, 60],
      [250, 62],
      [480, 70, 25],
      [505, 64],
      [750, 65],
    ]);
    expect(read(line([60, 62, 64, 65]), played)).toEqual({ notes: 'rrrr', extras: ['blip 2<2'] });
  });

  it('never calls a written fast note a blip', () => {
    const fast = line([60, 62, 64, 62, 64, 62, 65], { tempo: { bpm: 360, beatTicks: 10_080 } });
    expect(read(fast, perfect(fast))).toEqual({ notes: 'rrrrrrr', extras: [] });
  });

  it('counts going back as a restart: the last try is the match', () => {
    const played = take([
      [0, 60],
      [250, 62],
      [500, 64],
      [750, 65],
      [1500, 62],
      [1750, 64],
      [2000, 65],
      [2250, 67],
      [2500, 69],
      [2750, 71],
      [3000, 72],
    ]);
    expect(read(SCALE, played)).toEqual({
      notes: 'rrrrrrrr',
      extras: ['restart 1<1', 'restart 2<1', 'restart 3<1'],
    });
  });

  it('counts a restart from the beginning after a wrong note as a restart', () => {
    const played = take([
      [0, 60],
      [250, 62],
      [500, 63],
      [1300, 60],
      [1550, 62],
      [1800, 64],
      [2050, 65],
    ]);
    expect(read(line([60, 62, 64, 65]), played)).toEqual({
      notes: 'rrrr',
      extras: ['restart 0<0', 'restart 1<0', 'restart 2<0'],
    });
  });

  it('has all right after a hesitation', () => {
    const played = perfect(SCALE).map((n) => (n.pitch >= 65 ? { ...n, onMicros: n.onMicros + 900_000 } : n));
    expect(read(SCALE, played)).toEqual({ notes: 'rrrrrrrr', extras: [] });
  });

  it('takes a chord as one onset, its notes in any order', () => {
    const chords = line([[48, 60, 64], [50, 62], 67]);
    const played = take([
      [8, 64],
      [0, 48],
      [4, 60],
      [262, 50],
      [250, 62],
      [500, 67],
    ]);
    expect(read(chords, played)).toEqual({ notes: 'rrrrrr', extras: [] });
  });

  it('does not mind grace notes played or left out, nor the added notes of a trill', () => {
    const graced = {
      ...SCALE,
      onsets: SCALE.onsets.slice(0, 3).map((o, i) => {
        if (i === 1)
          return { ...o, notes: [{ pitch: 64, durationTicks: 0, ornament: 'grace' as const }, ...o.notes] };
        if (i === 2) return { ...o, notes: o.notes.map((n) => ({ ...n, ornament: 'trill' as const })) };
        return o;
      }),
    };
    expect(
      read(
        graced,
        take([
          [0, 60],
          [200, 64, 40],
          [250, 62],
          [500, 64],
        ]),
      ).notes,
    ).toBe('rrrr');
    expect(
      read(
        graced,
        take([
          [0, 60],
          [250, 62],
          [500, 64],
        ]),
      ).notes,
    ).toBe('rorr');
    const trilled = take([
      [0, 60],
      [250, 62],
      [500, 64, 60],
      [560, 65, 60],
      [620, 64, 60],
      [680, 65, 60],
    ]);
    const { notes, extras } = align(graced, trilled);
    expect(verdicts(notes)).toBe('rorr');
    expect(extras.map((e) => e.kind)).toEqual(['ornament', 'ornament', 'ornament']);
  });

  it('is matched as if in its octave when all of it lies an octave away', () => {
    const played = perfect(SCALE).map((n) => ({ ...n, pitch: n.pitch - 12 }));
    expect(read(SCALE, played)).toEqual({ notes: 'rrrrrrrr', extras: [] });
  });

  it('is in its octave with two notes when both are an octave away, and not when one is', () => {
    expect(
      read(
        SCALE,
        perfect(SCALE)
          .slice(0, 2)
          .map((n) => ({ ...n, pitch: n.pitch - 12 })),
      ).notes,
    ).toBe('rrmmmmmm');
    const other = perfect(SCALE)
      .slice(0, 2)
      .map((n, i) => ({ ...n, pitch: n.pitch - 12 + i }));
    expect(read(SCALE, other).notes).not.toContain('rr');
  });

  it('keeps a single note between chords where the player went back and stopped just before or after it', () => {
    const chords = line([[60, 64], 65, [62, 67], 69, [64, 71], 72]);
    const [lead, back, on] = [0, 2000, 4000].map((ms) => ms * 1000);
    const notes = perfect(chords);
    const later = (from: number, to: number, micros: number) =>
      notes
        .slice(from, to)
        .map((n) => ({ ...n, onMicros: n.onMicros + micros, offMicros: n.offMicros! + micros }));
    // Up to the third onset and on to the fourth, back to that single note after a long breath, then the rest.
    const before = [...later(0, 6, lead!), ...later(6, 8, lead!), ...later(5, 9, back!)];
    expect(read(chords, before)).toEqual({
      notes: 'rrrrrrrrr',
      extras: ['restart 5<3', 'restart 6<3', 'restart 7<3'],
    });
    // Back to the chord after the single note.
    const after = [...later(0, 8, lead!), ...later(6, 9, on!)];
    expect(read(chords, after)).toEqual({ notes: 'rrrrrrrrr', extras: ['restart 6<4', 'restart 7<4'] });
  });

  it('has both notes right where two neighbours were played the wrong way round', () => {
    const played = perfect(SCALE).map((n, i) =>
      i === 3 ? { ...n, pitch: 67 } : i === 4 ? { ...n, pitch: 65 } : n,
    );
    expect(read(SCALE, played)).toEqual({ notes: 'rrrrrrrr', extras: [] });
  });

  it('is told alike in whatever order its notes are given, by the numbers under which they were given', () => {
    // The third note left out, a foreign one before the second and after it.
    const played = take([
      [0, 60],
      [125, 90],
      [250, 62],
      [625, 91],
      [750, 65],
    ]);
    const four = line([60, 62, 64, 65]);
    const given = [2, 4, 0, 1, 3].map((i) => played[i]!);
    const { notes, extras } = align(four, given);
    expect(verdicts(notes)).toBe('rrmr');
    expect(notes.map((n) => n.played)).toEqual([2, 0, undefined, 1]);
    expect(notes[2]).not.toHaveProperty('played');
    expect(extras).toEqual([
      { played: 3, kind: 'extra', before: 1 },
      { played: 4, kind: 'extra', before: 2 },
    ]);
    // The note that was played first is given last: the extras come in the order in which they were given.
    const turned = align(four, played.toReversed());
    expect(turned.extras.map((e) => [e.played, e.before])).toEqual([
      [1, 2],
      [3, 1],
    ]);
  });

  it('has notes of one moment in the order given', () => {
    const chord = line([[60, 64], 67]);
    const { notes } = align(
      chord,
      take([
        [0, 64],
        [0, 60],
        [250, 67],
      ]),
    );
    expect(notes.map((n) => n.played)).toEqual([1, 0, 2]);
  });

  it('is all missed when nothing was played', () => {
    expect(read(SCALE, [])).toEqual({ notes: 'mmmmmmmm', extras: [] });
  });
});
