import { describe, expect, it } from 'vitest';
import { align } from '../../src/matching/align.ts';
import type { Expectation } from '../../src/matching/expectation.ts';
import { spellingName, spellPitch } from '../../src/music/pitch.ts';
import type { PlayedNote } from '../../src/music/played-note.ts';
import { ticksToMicros } from '../../src/music/tempo.ts';
import { TICKS_PER_QUARTER } from '../../src/music/ticks.ts';
import { microsAt } from '../../src/music/timing.ts';
import { judge } from '../../src/take/judge.ts';
import { judgedNotes } from '../../src/take/result.ts';
import { TOLERANCES } from '../../src/take/tolerance.ts';
import { sentence } from '../../src/wording/sentence.ts';
import { line, perfect, ZERO_MICROS } from '../matching/takes.ts';
import { sample } from '../sample.ts';
import { confusionOf } from './cause-confusion.ts';

// A run of ours in E major, sixteenths at 60: 250 ms each, so that steady allows 32.5 ms.
const RUN = line([64, 66, 68, 69, 71, 73, 75, 76, 73, 71, 69, 68, 66], {
  pulse: 'click',
  zeroMicros: ZERO_MICROS,
});
const name = (pitch: number): string => spellingName(spellPitch(pitch, 4));

function told(expectation: Expectation, played: readonly PlayedNote[], usualLagMicros = 0) {
  const verdict = judge(expectation, played, align(expectation, played), {
    tolerance: TOLERANCES.steady,
    usualLagMicros,
  });
  const expected = expectation.onsets.map((o) => o.notes.map((n) => name(n.pitch)));
  return {
    kinds: verdict.troubles.map(({ kind }) => kind),
    said: sentence({ verdict }, { expected, ofPitch: name }),
  };
}

/** The run as written, each note moved by what `by` says, in milliseconds; never quite exact. */
function moved(by: (i: number) => number, expectation: Expectation = RUN): PlayedNote[] {
  return perfect(expectation).map((note, i) => ({
    ...note,
    onMicros: note.onMicros + Math.round(1000 * (by(i) + [3, -4, 5, -2, 0, 4, -5, 2][i % 8]!)),
  }));
}

describe('what explains a take', () => {
  it('tells one note late, the rest on the click, from the short interval after it', () => {
    const late = told(
      RUN,
      moved((i) => (i === 5 ? 70 : 0)),
    );
    expect(late.kinds).toEqual(['displaced']);
    expect(late.said).toMatch(/^C#5 alone came \d+ ms late: have it ready sooner/);
    const early = told(
      RUN,
      moved((i) => (i === 5 ? -70 : 0)),
    );
    expect(early.said).toMatch(/^C#5 alone came \d+ ms early: wait for it/);
    const rushed = told(
      RUN,
      moved((i) => (i >= 6 ? -70 : 0)),
    );
    expect(rushed.kinds).toEqual(['rushed']);
    expect(rushed.said).toMatch(/^Rushed C#5 to D#5 by \d+ ms \(\d+ %\): lean on the C#5\.$/);
  });

  it('tells a note that was far too late, the next on the click again, from a stop', () => {
    const slow = { ...RUN, tempo: { ...RUN.tempo, bpm: 20 } };
    const late = moved((i) => (i === 5 ? 420 : 0), slow);
    expect(told(slow, late).kinds).toEqual(['displaced']);
    const stop = moved((i) => (i >= 5 ? 420 : 0), slow);
    expect(told(slow, stop).kinds).toEqual(['hesitated']);
  });

  it('holds the entry of slow music no stricter than its notes', () => {
    // Half notes at 60: concert allows 160 ms from one to the next, and so 48 ms to the entry; no more than 110 ever.
    const slow = line([64, 66, 68, 69], {
      pulse: 'click',
      zeroMicros: ZERO_MICROS,
      tempo: { ...RUN.tempo, bpm: 7.5 },
    });
    const entered = (byMs: number, expectation: Expectation) =>
      judge(
        expectation,
        perfect(expectation).map((note) => ({ ...note, onMicros: note.onMicros + 1000 * byMs })),
        align(expectation, perfect(expectation)),
        { tolerance: TOLERANCES.concert, usualLagMicros: 0 },
      ).troubles.map(({ kind }) => kind);
    expect(entered(-44, slow)).toEqual([]);
    expect(entered(-52, slow)).toEqual(['placed']);
    expect(entered(-44, RUN)).toEqual(['placed']);
    expect(entered(-115, { ...slow, tempo: { ...RUN.tempo, bpm: 2 } })).toEqual(['placed']);
  });

  it('tells a tempo other than the click from speeding up', () => {
    const slower = told(
      RUN,
      moved((i) => i * 250 * 0.18),
    );
    expect(slower.kinds).toEqual(['tempo']);
    expect(slower.said).toBe(
      'All of it was 18 % slower than the click: keep up with each beat, or take the click slower.',
    );
    expect(
      told(
        RUN,
        moved((i) => i * -250 * 0.15),
      ).said,
    ).toMatch(/^All of it was 15 % faster/);
    const speeding = told(
      RUN,
      moved((i) => -2.4 * i * i),
    );
    expect(speeding.kinds).toEqual(['drift']);
    expect(speeding.said).toMatch(/^Faster and faster all the way, \d+ % at the end: hold the tempo back/);
  });

  it('tells a tempo other than the click though each interval is within the tolerance, and no early entry', () => {
    // Half notes at 60 in a scale: 10 % of two seconds is less than steady allows, and adds up to a beat and more.
    const slow = line([67, 69, 71, 72, 74, 76, 77, 79, 81], {
      pulse: 'click',
      zeroMicros: ZERO_MICROS,
      tempo: { ...RUN.tempo, bpm: 7.5 },
    });
    for (const [share, said] of [
      [-0.1, /^All of it was 10 % faster than the click/],
      [0.12, /^All of it was 12 % slower than the click/],
    ] as const) {
      const tempo = told(
        slow,
        moved((i) => i * 2000 * share, slow),
      );
      expect(tempo.kinds).toEqual(['tempo']);
      expect(tempo.said).toMatch(said);
    }
    // The last notes had no time left before the verdict: they are missing, and so the take is not clean.
    const late = moved((i) => i * 2000 * 0.12, slow).slice(0, -1);
    const untilMicros = ZERO_MICROS + 16_300_000;
    const { troubles } = judge(slow, late, align(slow, late), { tolerance: TOLERANCES.steady, untilMicros });
    expect(troubles.map(({ kind }) => kind)).toEqual(['tempo']);
  });

  it('tells a tempo that changed once as faster, never as slower, and by no more than it was', () => {
    const faster = told(
      RUN,
      moved((i) => (i > 8 ? -50 * (i - 8) : 0)),
    );
    expect(faster.said).not.toMatch(/[Ss]lower/);
    const share = Number(/(\d+) % at the end/.exec(faster.said)?.[1] ?? 0);
    expect(share).toBeLessThanOrEqual(28);
  });

  it('tells a rhythm of long and short that was played even, though every note stands on a beat', () => {
    // Three beats and one, or one and three; half of what was asked, all alike.
    for (const ticks of [
      [0, 3, 4, 7, 8, 11, 12],
      [0, 1, 4, 5, 8, 9, 12],
      [0, 3, 4, 5, 8, 9, 10, 13, 14, 15, 18],
    ]) {
      const rhythm = line(
        ticks.map((_, i) => 60 + i),
        { pulse: 'click', zeroMicros: ZERO_MICROS },
      );
      const onsets = rhythm.onsets.map((onset, i) => ({ ...onset, tick: ticks[i]! * 10_080 }));
      const asked = { ...rhythm, onsets };
      const beat = ticksToMicros(10_080, asked.tempo);
      const each = (beat * ticks.at(-1)!) / (ticks.length - 1);
      const even = perfect(asked).map((note, i) => ({
        ...note,
        onMicros: Math.round(ZERO_MICROS + i * each),
      }));
      expect(told(asked, even).said).toMatch(/^That was even: make the long notes long/);
    }
  });

  it('tells a chord torn apart as that, and no hand that came late', () => {
    const chords = line([
      [48, 64, 67, 72],
      [50, 65, 69, 74],
      [52, 67, 71, 76],
      [53, 69, 72, 77],
    ]);
    const staves = {
      ...chords,
      pulse: 'click' as const,
      zeroMicros: ZERO_MICROS,
      onsets: chords.onsets.map((onset) => ({
        ...onset,
        notes: onset.notes.map((note, k) => ({ ...note, staff: k === 0 ? 2 : 1 })),
      })),
    };
    const torn = perfect(staves).map((note) =>
      note.pitch === 76 ? { ...note, onMicros: note.onMicros + 120_000 } : note,
    );
    expect(told(staves, torn).kinds[0]).toBe('chord');
  });

  it('tells speeding towards the end from where it begins', () => {
    const end = told(
      RUN,
      moved((i) => (i > 7 ? -9 * (i - 7) ** 2 : 0)),
    );
    expect(end.kinds[0]).toBe('drift');
    expect(end.said).toMatch(/^Faster and faster from (D#5|E5) on/);
    expect(
      told(
        RUN,
        moved((i) => (i > 7 ? 9 * (i - 7) ** 2 : 0)),
      ).said,
    ).toMatch(/^Slower and slower from/);
  });

  it('does not hold a steady slower tempo against a free run, but speeding up in it', () => {
    const free = line([64, 66, 68, 69, 71, 73, 75, 76, 73, 71, 69, 68, 66]);
    expect(
      told(
        free,
        moved((i) => i * 60, free),
      ).kinds,
    ).toEqual([]);
    expect(
      told(
        free,
        moved((i) => -3.5 * i * i, free),
      ).kinds,
    ).toEqual(['drift']);
  });

  it('names pairs that lilt, as one thing', () => {
    const swung = told(
      RUN,
      moved((i) => (i % 2 === 1 ? 55 : 0)),
    );
    expect(swung.kinds).toEqual(['pattern']);
    expect(swung.said).toMatch(
      /^Long-short all the way, the second of each two \d+ ms late: make both alike\.$/,
    );
    expect(
      told(
        RUN,
        moved((i) => (i % 2 === 1 ? -55 : 0)),
      ).said,
    ).toMatch(/^Short-long all the way/);
    const third = told(
      RUN,
      moved((i) => (i % 4 === 2 ? 60 : 0)),
    );
    expect(third.said).toMatch(/^The third of each four came \d+ ms late each time: move that one alone\.$/);
  });

  it('says that long and short were played even', () => {
    const eighth = TICKS_PER_QUARTER / 2;
    const dotted: Expectation = {
      ...RUN,
      onsets: RUN.onsets.map((onset, i) => ({
        ...onset,
        tick: Math.floor(i / 2) * 2 * eighth + (i % 2) * 1.5 * eighth,
      })),
    };
    const even = told(
      dotted,
      moved((i) => (i % 2 === 1 ? -250 : 0), dotted),
    );
    expect(even.kinds).toEqual(['evened']);
    expect(even.said).toBe('That was even: make the long notes long and the short ones short.');
    expect(
      told(
        dotted,
        moved(() => 0, dotted),
      ).kinds,
    ).toEqual([]);
  });

  it('says so too where the tempo changes on the way', () => {
    const quarter = TICKS_PER_QUARTER;
    const dotted: Expectation = {
      ...RUN,
      onsets: RUN.onsets.map((onset, i) => ({
        ...onset,
        tick: Math.floor(i / 2) * quarter + (i % 2) * 0.75 * quarter,
      })),
      paces: [
        { fromTick: 0, ratio: 1 },
        { fromTick: 2 * quarter, ratio: 2 },
      ],
    };
    const { onsets } = dotted;
    const even = onsets.map(({ tick }, i) =>
      i % 2 === 1
        ? (microsAt(dotted, onsets[i - 1]!.tick) + microsAt(dotted, onsets[i + 1]!.tick)) / 2
        : microsAt(dotted, tick),
    );
    const played = perfect(dotted).map((note, i) => ({
      ...note,
      onMicros: Math.round(ZERO_MICROS + even[i]! + 1000 * [3, -4, 5, -2][i % 4]!),
    }));
    expect(told(dotted, played).said).toBe(
      'That was even: make the long notes long and the short ones short.',
    );
    const { troubles } = judge(dotted, played, align(dotted, played), { tolerance: TOLERANCES.steady });
    expect(troubles[0]).toMatchObject({ kind: 'evened', share: expect.closeTo(1, 1) });
  });

  describe('where a change of tempo is written on the way', () => {
    // Half as fast again from the eighth note on.
    const mark = RUN.onsets[7]!.tick;
    const faster: Expectation = {
      ...RUN,
      paces: [
        { fromTick: 0, ratio: 1 },
        { fromTick: mark, ratio: 1.5 },
      ],
    };
    const slower: Expectation = { ...faster, paces: [faster.paces![0]!, { fromTick: mark, ratio: 0.75 }] };
    /** Each interval after the mark of so many milliseconds, those before it of 250. */
    const goneOn = (ms: number): PlayedNote[] => moved((i) => Math.max(0, i - 7) * (ms - 250));

    it('tells that the old tempo was kept', () => {
      const kept = told(faster, goneOn(250));
      expect(kept.kinds).toEqual(['tempo-mark']);
      expect(kept.said).toBe(
        'Kept the old tempo from E5 on, where it goes faster: count the new tempo before you get there.',
      );
      expect(told(slower, goneOn(250)).said).toMatch(/^Kept the old tempo from E5 on, where it goes slower:/);
    });

    it('tells it in a free run too', () => {
      const free: Expectation = { ...faster, pulse: 'free' };
      expect(told(free, goneOn(250)).said).toMatch(/^Kept the old tempo from E5 on, where it goes faster:/);
      expect(told(free, goneOn(250 / 1.5)).kinds).toEqual([]);
    });

    it('tells how far it was from what is written', () => {
      // 167 ms are written after the mark: 200 are 20 % longer, 130 are 22 % shorter.
      expect(told(faster, goneOn(200)).said).toMatch(/^Not enough faster from E5 on, by (19|20|21) %:/);
      expect(told(faster, goneOn(130)).said).toMatch(
        /^Went faster from E5 on than is written, by (21|22|23) %:/,
      );
      expect(told(faster, goneOn(300)).said).toMatch(/^Went slower from E5 on, where it goes faster:/);
      expect(told(slower, goneOn(290)).said).toMatch(/^Not enough slower from E5 on, by (12|13|14) %:/);
    });

    it('says nothing of it where it was taken up', () => {
      expect(told(faster, goneOn(250 / 1.5)).kinds).toEqual([]);
      expect(told(slower, goneOn(250 / 0.75)).kinds).toEqual([]);
    });

    it('takes no fermata for one', () => {
      const held: Expectation = {
        ...RUN,
        onsets: RUN.onsets.map((onset, i) =>
          i === 7
            ? {
                ...onset,
                notes: onset.notes.map((note) => ({ ...note, articulations: ['fermata' as const] })),
              }
            : onset,
        ),
        paces: [
          { fromTick: 0, ratio: 1 },
          { fromTick: mark, ratio: 0.5 },
          { fromTick: RUN.onsets[8]!.tick, ratio: 1 },
        ],
      };
      const { kinds } = told(
        held,
        moved((i) => (i > 7 ? 250 : 0) + (i > 8 ? 40 * (i - 8) : 0)),
      );
      expect(kinds).not.toContain('tempo-mark');
      expect(kinds.length).toBeGreaterThan(0);
    });
  });

  it('says unevenness without a cause as that', () => {
    const by = [0, 40, -35, 20, 45, -50, 10, 38, -42, 30, -30, 15, -20];
    const uneven = told(
      RUN,
      moved((i) => by[i]!),
    );
    expect(uneven.kinds).toEqual(['uneven']);
    expect(uneven.said).toMatch(/^Uneven, give or take \d+ ms, most from .*\d+ ms (long|short)\): slower/);
  });

  it('does not say that the others are in place where they are not', () => {
    const by = [10, -24, 20, -18, 22, -26, 14, 88, -22, 24, -20, 18, -24];
    expect(
      told(
        RUN,
        moved((i) => by[i]!),
      ).kinds,
    ).toEqual(['uneven']);
    const steadier = by.map((ms, i) => (i === 7 ? ms : ms / 3));
    expect(
      told(
        RUN,
        moved((i) => steadier[i]!),
      ).kinds,
    ).toEqual(['displaced']);
  });

  it('knows a first note that was late from a first interval that was short by where the player usually stands', () => {
    const short = line([64, 66, 68], { pulse: 'click', zeroMicros: ZERO_MICROS });
    const first = moved((i) => (i === 0 ? 60 : 0), short);
    expect(told(short, first, 0).kinds).toEqual(['displaced']);
    expect(told(short, first, 60_000).kinds).toEqual(['rushed']);
  });

  it('is named rightly nearly always, and never with the opposite advice', () => {
    const takes = sample(400, 16);
    for (const { cause, named, right, opposite } of confusionOf(takes, 5_000)) {
      const heard = [...named.values()].reduce((a, b) => a + b, 0);
      expect(opposite.length, opposite.join()).toBeLessThanOrEqual(Math.floor(takes / 500));
      // 16 takes of a cause that is named in 92 % of them: 11 is three standard deviations down.
      expect(right / heard, cause).toBeGreaterThan(takes < 400 ? 0.65 : 0.82);
    }
  });
});

describe('a recorded take', () => {
  it('of a scale that sounds a tone too high is told as that, though many of its notes are those of the next degree', () => {
    // D major up and down in steps: moved by a tone, two thirds of it are notes of the scale one step later.
    const scale = line([62, 64, 66, 67, 69, 71, 73, 74, 73, 71, 69, 67, 66, 64, 62]);
    const played = perfect(scale).map((note) => ({ ...note, pitch: note.pitch + 2 }));
    const { verdict } = judgedNotes(scale, played, [], { tolerance: TOLERANCES.steady });
    expect(verdict.troubles).toEqual([{ kind: 'transposed', semitones: 2 }]);
    // Who leaves out the first note has played the others rightly.
    const late = judgedNotes(scale, perfect(scale).slice(1), [], { tolerance: TOLERANCES.steady });
    expect(late.verdict.troubles[0]).toMatchObject({ kind: 'missed', onset: 0 });
  });
});

describe('two hands', () => {
  const onsets = [72, 74, 76, 77, 79, 77, 76, 74, 72, 71, 72].map((pitch, i) => ({
    tick: (i * TICKS_PER_QUARTER) / 2,
    notes: [
      ...(i % 2 === 0
        ? [{ pitch: 48 + ((i * 3) % 7), durationTicks: TICKS_PER_QUARTER, part: 0, staff: 2, voice: 2 }]
        : []),
      { pitch, durationTicks: TICKS_PER_QUARTER / 2, part: 0, staff: 1, voice: 1 },
    ],
  }));
  const both: Expectation = { onsets, tempo: RUN.tempo, pulse: 'click', zeroMicros: ZERO_MICROS };
  const played = (by: (onset: number, left: boolean) => number): PlayedNote[] =>
    onsets
      .flatMap(({ tick, notes }, i) =>
        notes.map(({ pitch, staff }) => {
          const onMicros =
            ZERO_MICROS + Math.round((tick / TICKS_PER_QUARTER) * 1e6 + 1000 * by(i, staff === 2));
          return { pitch, onMicros, offMicros: onMicros + 300_000, velocity: 80 };
        }),
      )
      .sort((a, b) => a.onMicros - b.onMicros);

  it('that are a little apart, always the same, are clean', () => {
    expect(
      told(
        both,
        played((_, left) => (left ? 15 : 0)),
      ).kinds,
    ).toEqual([]);
  });

  it('are told by name when one is behind all the way', () => {
    const late = told(
      both,
      played((_, left) => (left ? 90 : 0)),
    );
    expect(late.kinds).toEqual(['hand']);
    expect(late.said).toBe(
      'The left hand came 90 ms after the right hand, all the way: bring them together on each beat.',
    );
    const early = told(
      both,
      played((_, left) => (left ? -90 : 0)),
    );
    expect(early.said).toMatch(/^The right hand came 90 ms after the left hand/);
  });

  it('are told by name when one note of one is late and the other exact', () => {
    const one = told(
      both,
      played((i, left) => (left && i === 4 ? 160 : 0)),
    );
    expect(one.kinds).toEqual(['displaced']);
    // The hand's own note, not the melody's over it: onset 4 has F3 (48 + 12 % 7) under G5.
    expect(one.said).toMatch(/^F3, left hand, alone came \d+ ms late/);
  });

  it('that come late together are one late onset, and neither hand is told to be in place', () => {
    const both4 = told(
      both,
      played((i) => (i === 4 ? 160 : 0) + [3, -4, 5, -2, 0, 4, -5, 2][i % 8]!),
    );
    expect(both4.kinds).toEqual(['displaced']);
    expect(both4.said).toMatch(
      /^G5 alone came \d+ ms late: have it ready sooner, the others are in place\.$/,
    );
  });

  it('are not told to be apart all the way when one of them hurries once and stays ahead', () => {
    const right = told(
      both,
      played((i, left) => (!left && i >= 5 ? -160 : 0) + [3, -4, 5, -2, 0, 4, -5, 2][i % 8]!),
    );
    expect(right.said).toMatch(/^Rushed G5 to F5 by \d+ ms \(\d+ %\), right hand: lean on the G5\.$/);
    const left = told(
      both,
      played((i, isLeft) => (isLeft && i >= 4 ? 160 : 0) + [3, -4, 5, -2, 0, 4, -5, 2][i % 8]!),
    );
    // From onset 2 to 4 in the left hand: C3 + 6 and 5 semitones (48 + 6 % 7, 48 + 12 % 7).
    expect(left.said).toMatch(/^Dragged F#3 to F3 by \d+ ms \(\d+ %\), left hand: /);
  });

  it('are told from where on they were apart, where one moves off little by little', () => {
    const left = told(
      both,
      played((i, isLeft) => (isLeft ? 15 * Math.max(0, i - 2) : 0) + [3, -4, 5, -2, 0, 4, -5, 2][i % 8]!),
    );
    expect(left.kinds[0]).toBe('hand');
    expect(left.said).toMatch(
      /^The left hand came \d+ ms after the right hand, from \w#?\d on: bring them together on each beat\.$/,
    );
  });

  it('that are uneven are told the notes of the hand that was', () => {
    const left = told(
      both,
      played((i, isLeft) => (isLeft ? [120, -150, 160, -140, 90, -150][i / 2]! : 0)),
    );
    expect(left.kinds).toEqual(['uneven']);
    // Onsets 2 to 4 in the left hand, 310 ms too long.
    expect(left.said).toMatch(/most from F#3 to F3 \(310 ms long\)/);
  });

  it('are measured together as Rasch measured ensembles', () => {
    // facts: B against A is +10, -10, +10, -10: a standard deviation of 10 about no difference (population; the
    // sample's is 11.5). Six onsets in common here.
    const take = played((i, left) => (left ? (i % 4 === 0 ? 10 : -10) : 0));
    const verdict = judge(both, take, align(both, take), { tolerance: TOLERANCES.steady });
    expect(verdict.together).toMatchObject({ onsets: 6 });
    expect(verdict.together!.byMicros).toBeLessThan(1);
    expect(verdict.together!.sdMicros).toBeCloseTo(10_000 * Math.sqrt(6 / 5), 0);
  });
});
