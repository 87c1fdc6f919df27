import { describe, expect, it } from 'vitest';
import { align } from '../../src/matching/align.ts';
import type { Expectation } from '../../src/matching/expectation.ts';
import type { PlayedNote } from '../../src/music/played-note.ts';
import { judge } from '../../src/take/judge.ts';
import { TOLERANCES } from '../../src/take/tolerance.ts';
import { line, perfect, take, ZERO_MICROS } from '../matching/takes.ts';

const SCALE = line([60, 62, 64, 65, 67, 69, 71, 72]);
const CLICKED: Expectation = { ...SCALE, pulse: 'click', zeroMicros: ZERO_MICROS };

function judged(
  expectation: Expectation,
  played: readonly PlayedNote[],
  name: keyof typeof TOLERANCES = 'steady',
) {
  return judge(expectation, played, align(expectation, played), { tolerance: TOLERANCES[name] });
}

/** The notes from `index` on come later by `ms`. */
function laterFrom(played: readonly PlayedNote[], index: number, ms: number): PlayedNote[] {
  return played.map((n, i) => (i < index ? n : { ...n, onMicros: n.onMicros + Math.round(ms * 1000) }));
}

describe('a take as a whole', () => {
  it('is clean when played as written, with the click or at its own pace', () => {
    const withClick = judged(CLICKED, perfect(CLICKED));
    expect(withClick).toMatchObject({ clean: true, troubles: [], pace: 1 });
    expect(withClick.placement).toMatchObject({ lagMicros: 0, spreadMicros: 0, driftMicrosPerSecond: 0 });
    const slower = judged(SCALE, perfect(SCALE, 1.2));
    expect(slower.clean).toBe(true);
    expect(slower.pace).toBeCloseTo(1 / 1.2, 4);
  });

  it('is not clean at another pace than the click asks for', () => {
    expect(judged(CLICKED, perfect(CLICKED, 1.2)).clean).toBe(false);
  });

  it('is silent when nothing was played', () => {
    expect(judged(CLICKED, []).troubles).toEqual([{ kind: 'silent' }]);
  });

  it('names the first slip first, whatever came of it', () => {
    const played = perfect(SCALE)
      .slice(0, 5)
      .map((n, i) => (i === 3 ? { ...n, pitch: 66 } : n));
    expect(judged(SCALE, played).troubles[0]).toMatchObject({ kind: 'wrong', onset: 3, playedPitch: 66 });
  });

  it('tells of a blip what was heard, between which notes and when', () => {
    const played = perfect(SCALE);
    const [left, right] = [played[2]!.onMicros, played[3]!.onMicros];
    const blip = { ...played[2]!, pitch: 66, onMicros: right - 25_000, offMicros: right - 5_000 };
    const all = [...played.slice(0, 3), blip, ...played.slice(3)];
    expect(judged(SCALE, all).troubles[0]).toEqual({
      kind: 'blip',
      before: 3,
      played: 3,
      playedPitch: 66,
      leftMicros: left,
      onMicros: right - 25_000,
      lastedMicros: 20_000,
      rightMicros: right,
    });
    const heldOn = all.map((note) => (note === blip ? { ...blip, offMicros: right + 10_000 } : note));
    expect(judged(SCALE, heldOn).troubles[0]).toMatchObject({ kind: 'blip', lastedMicros: 25_000 });
  });

  it('counts going back as one trouble', () => {
    const played = take([
      [0, 60],
      [250, 62],
      [500, 64],
      [1500, 60],
      [1750, 62],
      [2000, 64],
      [2250, 65],
    ]);
    expect(judged(line([60, 62, 64, 65]), played).troubles).toEqual([
      { kind: 'restart', before: 0, notes: 3 },
    ]);
  });

  it('says an octave away once, instead of calling every note wrong', () => {
    const played = perfect(SCALE).map((n) => ({ ...n, pitch: n.pitch + 12 }));
    expect(judged(SCALE, played).troubles).toEqual([{ kind: 'octave', octaves: 1 }]);
  });

  it('counts notes past the landing as running on, not as extras', () => {
    const played = [
      ...perfect(SCALE),
      ...take([
        [2000, 74],
        [2250, 76],
      ]),
    ];
    expect(judged(SCALE, played).troubles).toEqual([{ kind: 'ran-on', notes: 2 }]);
    const told = judge(SCALE, perfect(SCALE), align(SCALE, perfect(SCALE)), {
      tolerance: TOLERANCES.rough,
      ranOn: 3,
    });
    expect(told.troubles).toEqual([{ kind: 'ran-on', notes: 3 }]);
  });
});

describe('an interval', () => {
  it('is rushed, dragged or hesitated by what it strays', () => {
    const rushed = judged(CLICKED, laterFrom(perfect(CLICKED), 4, -60));
    expect(rushed.troubles).toMatchObject([
      { kind: 'rushed', interval: { from: 3, deviationMicros: -60_000 } },
    ]);
    const dragged = judged(CLICKED, laterFrom(perfect(CLICKED), 4, 60));
    expect(dragged.troubles).toMatchObject([{ kind: 'dragged', interval: { from: 3, share: 0.24 } }]);
    const hesitated = judged(CLICKED, laterFrom(perfect(CLICKED), 4, 600));
    expect(hesitated.troubles).toMatchObject([{ kind: 'hesitated', interval: { from: 3 } }]);
  });

  it('is in time up to the tolerance and not a microsecond more', () => {
    // Steady: 13 % of 250 ms is 32.5 ms.
    const at = (ms: number) => judged(CLICKED, laterFrom(perfect(CLICKED), 4, ms)).intervals[3]!;
    expect(at(32.5)).toMatchObject({ clean: true, allowedMicros: 32_500, deviationMicros: 32_500 });
    expect(at(32.501).clean).toBe(false);
    expect(at(-32.5).clean).toBe(true);
    expect(at(-32.501).clean).toBe(false);
  });

  it('is never held to less than the noise of the driver', () => {
    const none = { name: 'concert', floorMicros: 0, share: 0 } as const;
    const played = laterFrom(perfect(CLICKED), 4, 2);
    expect(judge(CLICKED, played, align(CLICKED, played), { tolerance: none }).clean).toBe(true);
    const more = laterFrom(perfect(CLICKED), 4, 2.001);
    expect(judge(CLICKED, more, align(CLICKED, more), { tolerance: none }).clean).toBe(false);
  });

  it('is not judged next to a slip: only the slip is told', () => {
    const missing = perfect(CLICKED).filter((_, i) => i !== 3);
    expect(judged(CLICKED, missing).intervals.map((i) => i.from)).toEqual([0, 1, 4, 5, 6]);
    const added = [...perfect(CLICKED).slice(0, 4), ...take([[850, 80, 100]]), ...perfect(CLICKED).slice(4)];
    expect(judged(CLICKED, added).intervals.map((i) => i.from)).toEqual([0, 1, 2, 4, 5, 6]);
  });

  it('that is leaned on may be as long as a generous lean and never short', () => {
    const leanTicks = 1260; // 125 ms on top of 250 ms, asked.
    const leaned: Expectation = {
      ...CLICKED,
      onsets: CLICKED.onsets.map((o, i) => {
        const moved = i > 3 ? { ...o, tick: o.tick + leanTicks } : o;
        return i === 3 ? { ...moved, leanTicks } : moved;
      }),
    };
    const asked = perfect(leaned);
    const lean = (leanTicks / 10_080) * 1000;
    expect(judged(leaned, asked).clean).toBe(true);
    expect(judged(leaned, laterFrom(asked, 4, lean)).intervals[3]!.clean).toBe(true);
    // Half as long again as the 375 ms asked is generous, more is a stop.
    expect(judged(leaned, laterFrom(asked, 4, 187)).clean).toBe(true);
    expect(judged(leaned, laterFrom(asked, 4, 200)).intervals[3]!.clean).toBe(false);
    expect(judged(leaned, laterFrom(asked, 4, -30)).intervals[3]!.clean).toBe(false);
  });
});

describe('placement against the click', () => {
  it('has the constant lag taken out and told apart', () => {
    const late = judged(CLICKED, laterFrom(perfect(CLICKED), 0, 40));
    expect(late.clean).toBe(true);
    expect(late.placement).toMatchObject({ lagMicros: 40_000, spreadMicros: 0 });
  });

  it('makes a take unclean when it came in at another time than the count said', () => {
    const late = judged(CLICKED, laterFrom(perfect(CLICKED), 0, 300));
    expect(late.troubles).toEqual([{ kind: 'placed', onset: 0, offsetMicros: 300_000, whole: true }]);
  });

  it('makes a take unclean when small deviations add up', () => {
    const twelve = line([60, 62, 64, 65, 67, 69, 71, 72, 74, 76, 77, 79], {
      pulse: 'click',
      zeroMicros: ZERO_MICROS,
    });
    const drifting = judged(twelve, perfect(twelve, 1.06), 'steady');
    expect(drifting.intervals.every((i) => i.clean)).toBe(true);
    expect(drifting.troubles).toMatchObject([{ kind: 'tempo' }]);
    expect(drifting.placement!.driftMicrosPerSecond).toBeCloseTo(60_000, -2);
  });
});

describe('chords and joins', () => {
  it('reports how far a chord spread, and takes its middle as its time', () => {
    const chords = line([[48, 60, 64], 67], { pulse: 'click', zeroMicros: ZERO_MICROS });
    const verdict = judged(
      chords,
      take([
        [0, 48],
        [10, 60],
        [60, 64],
        [260, 67],
      ]),
    );
    expect(verdict.spreadMicros).toEqual([60_000, 0]);
    expect(verdict.onsetMicros[0]).toBe(ZERO_MICROS + 10_000);
    expect(verdict.troubles).toEqual([{ kind: 'chord', onset: 0, spreadMicros: 60_000 }]);
  });

  it('reports overlap as legato and a gap as detached', () => {
    const two = line([60, 62, 64]);
    expect(
      judged(
        two,
        take([
          [0, 60, 270],
          [250, 62, 180],
          [500, 64],
        ]),
      ).joints,
    ).toEqual([
      { from: 0, overlapMicros: 20_000 },
      { from: 1, overlapMicros: -70_000 },
    ]);
  });
});
