import { describe, expect, it } from 'vitest';
import { findSnags, weighIntervals } from '../../src/coaching/snags.ts';
import { PROFILE_NAMES } from '../../src/simulation/profile.ts';
import { sample } from '../sample.ts';
import { evenTimes, type HandTake, handVerdict } from './hand-verdict.ts';
import { judged } from './judged.ts';
import { lead, plantedCase } from './planted-cases.ts';
import { truthVerdict } from './truth-verdict.ts';

const verdicts = (...takes: readonly HandTake[]) => takes.map((take) => ({ verdict: handVerdict(take) }));

/** A clean take of 30 notes with one thing done to it. */
function withNote(index: number, what: 'wrong' | 'missed'): HandTake {
  return { times: evenTimes(30, 200).map((time, i) => (i === index ? what : time)), expectedMs: 200 };
}

const CLEAN: HandTake = { times: evenTimes(30, 200), expectedMs: 200 };

describe('snags', () => {
  it('are not found where nothing is wrong', () => {
    expect(findSnags(verdicts(CLEAN, CLEAN, CLEAN), 30)).toEqual([]);
  });

  it('are the interval before a slip, numbered by the onset where it begins', () => {
    const takes = verdicts(withNote(10, 'wrong'), withNote(10, 'wrong'), CLEAN);
    expect(findSnags(takes, 30)[0]).toMatchObject({ onset: 10, kinds: ['wrong notes'] });
    expect(findSnags(takes, 30, 41)[0]).toMatchObject({ onset: 50 });
    expect(findSnags(verdicts(withNote(0, 'wrong'), withNote(0, 'wrong')), 30)[0]).toMatchObject({
      onset: 1,
    });
  });

  it('are surer the more takes show them, and less sure for every take that goes well', () => {
    const sureness = (slips: number, clean: number) => {
      const takes = verdicts(...Array(slips).fill(withNote(10, 'missed')), ...Array(clean).fill(CLEAN));
      return weighIntervals(takes, 30)[9]!.confidence;
    };
    const rising = [sureness(1, 4), sureness(2, 3), sureness(3, 2), sureness(5, 0)];
    expect(rising).toEqual(rising.toSorted((a, b) => a - b));
    expect(rising[0]).toBeLessThan(0.3);
    expect(rising[3]).toBeGreaterThan(0.99);
  });

  it('tell rushed from dragged from uneven from hesitant', () => {
    const bent = (from: number, ...ms: number[]) =>
      verdicts(...ms.map((d) => ({ times: evenTimes(30, 200, { [from]: d }), expectedMs: 200 })));
    expect(findSnags(bent(5, -50, -44, -55), 30)[0]).toMatchObject({ onset: 6, kinds: ['rushed'] });
    expect(findSnags(bent(5, 50, 44, 55), 30)[0]).toMatchObject({ onset: 6, kinds: ['dragged'] });
    expect(findSnags(bent(5, 60, -60, 55), 30)[0]!.kinds).toContain('uneven');
    expect(findSnags(bent(5, 260, 300, 0), 30)[0]).toMatchObject({ onset: 6, kinds: ['hesitant'] });
  });

  it('shrink the deviation toward nothing, the more so the less even the player is', () => {
    const deviation = (unevenMs: number) => {
      const takes = [0, 1, 2].map((k) => {
        // Every interval off, another way each time, but the one in question.
        const bent = Object.fromEntries(
          Array.from({ length: 29 }, (_, i) => [i, unevenMs * Math.sin(7 * i * (k + 1))]),
        );
        return { times: evenTimes(30, 200, { ...bent, 12: -60 }), expectedMs: 200 };
      });
      return findSnags(verdicts(...takes), 30).find((snag) => snag.onset === 13)!.deviationMicros / 1000;
    };
    expect(deviation(0)).toBeCloseTo(-60, -0.5);
    expect(deviation(25)).toBeGreaterThan(deviation(0) + 1);
    expect(deviation(25)).toBeLessThan(-30);
  });

  it('lie where a restart set out, to the note when the notes are known', () => {
    // Onsets 8 and 9 played, the player stops before 10, goes back to 8 and goes on: notes 8 and 9 are a try given up.
    const times = evenTimes(20, 200).map((t, i) => (i >= 8 ? t + 1200 : t));
    const extras = [8, 9].map((played) => ({ played, kind: 'restart' as const, before: 8 }));
    const verdict = handVerdict({ times, expectedMs: 200, extras });
    const onsets = Array.from({ length: 20 }, (_, i) => ({
      tick: i * 100,
      notes: [{ pitch: 50 + i, durationTicks: 100 }],
    }));
    const pitches = [50, 51, 52, 53, 54, 55, 56, 57, 58, 59, 58, 59, 60, 61, 62, 63, 64, 65, 66, 67, 68, 69];
    const played = (last: number) =>
      pitches.map((pitch, i) => ({ pitch: i === 9 ? last : pitch, onMicros: i * 200_000, velocity: 80 }));
    const snagAt = (take: object) =>
      findSnags(
        [1, 2, 3, 4].map(() => ({ verdict, ...take })),
        20,
      ).map((s) => s.onset);
    // Struck 8 and 9 rightly: 10 was not ready, so the interval from onset 9 (number 10) is the snag.
    expect(snagAt({ onsets, played: played(59) })[0]).toBe(10);
    // Struck 8 rightly and 9 wrongly: the interval from onset 8 (number 9).
    expect(snagAt({ onsets, played: played(63) })[0]).toBe(9);
    // Not knowing the notes it may be either.
    expect(snagAt({}).toSorted()).toEqual([10, 9]);
  });

  it('take a note repeated in its time for going back, and one struck twice at once for an added note', () => {
    const onsets = Array.from({ length: 20 }, (_, i) => ({
      tick: i * 100,
      notes: [{ pitch: 50 + i, durationTicks: 100 }],
    }));
    const survey = (extraAtMs: number) => {
      // The note of onset 8 is struck twice; the second time counts and comes at 2600 ms.
      const times = evenTimes(20, 200).map((t, i) => (i >= 8 ? t + 1000 : t));
      const extras = [{ played: 8, kind: 'extra' as const, before: 8 }];
      const verdict = handVerdict({ times, expectedMs: 200, extras });
      const played = times.map((t, i) => ({ pitch: 50 + i, onMicros: t * 1000, velocity: 80 }));
      played.splice(8, 0, { pitch: 58, onMicros: extraAtMs * 1000, velocity: 80 });
      return findSnags(
        [1, 2].map(() => ({ verdict, onsets, played })),
        20,
      )[0];
    };
    // 1600 ms is when it was due: the next note was not ready.
    expect(survey(1600)).toMatchObject({ onset: 9, kinds: ['restarts'] });
    // 1500 ms is half a note early: struck on the way.
    expect(survey(1500)).toMatchObject({ onset: 8, kinds: ['extra notes'] });
  });

  it('do not come from a take that ends early, nor from one without a single note', () => {
    const short: HandTake = {
      times: CLEAN.times.map((time, i) => (i > 12 ? 'missed' : time)),
      expectedMs: 200,
    };
    const silent: HandTake = { times: CLEAN.times.map(() => 'missed' as const), expectedMs: 200 };
    expect(findSnags(verdicts(short, short, CLEAN), 30)).toEqual([]);
    expect(findSnags(verdicts(silent, silent), 30)).toEqual([]);
    expect(findSnags([], 30)).toEqual([]);
    expect(findSnags(verdicts({ times: [0], expectedMs: 200 }), 1)).toEqual([]);
  });

  it('lead the list when they were planted, through the real matcher and judge', () => {
    // One to three among 30 to 120 intervals, two to five takes, any player, at half of its tempo limit.
    let led = 0;
    const cases = sample(120, 12);
    for (let seed = 5001; seed <= 5000 + cases; seed++) {
      const c = plantedCase(seed, { profiles: PROFILE_NAMES });
      const takes = c.takes.map((played) => ({
        verdict: judged(c.onsets, played),
        onsets: c.onsets,
        played: played.take.notes,
      }));
      if (lead(findSnags(takes, c.onsets.length), c.snags)) led++;
    }
    expect(led / cases).toBeGreaterThanOrEqual(0.95);
  });

  it('are as sure as they say: of many that are about so sure, about so many are planted', () => {
    const bins = [0.05, 0.5, 0.9, 1.01].map((below) => ({ below, sum: 0, planted: 0, count: 0 }));
    for (let seed = 1; seed <= sample(200, 80); seed++) {
      const c = plantedCase(seed, { profiles: PROFILE_NAMES });
      const takes = c.takes.map(({ tempo, take }) => ({
        verdict: truthVerdict(c.onsets, tempo, take),
        onsets: c.onsets,
        played: take.notes,
      }));
      for (const { confidence, onset } of weighIntervals(takes, c.onsets.length)) {
        const bin = bins.find(({ below }) => confidence < below)!;
        bin.count++;
        bin.sum += confidence;
        if (c.snags.some((snag) => snag.onset === onset)) bin.planted++;
      }
    }
    const [least, doubtful, likely, sure] = bins.map(({ planted, count }) => planted / count);
    expect(least).toBeLessThan(0.01);
    expect(doubtful).toBeGreaterThan(0.05);
    expect(doubtful).toBeLessThan(0.6);
    expect(likely).toBeGreaterThan(0.6);
    expect(sure).toBeGreaterThan(0.97);
  });

  it('change nothing of what they are given', () => {
    const takes = verdicts(withNote(10, 'wrong'), CLEAN);
    const copy = structuredClone(takes);
    findSnags(takes, 30);
    expect(takes).toEqual(copy);
  });
});

describe('what a snag is worth', () => {
  /** A take of 30 notes of 200 ms with wrong or missed notes at some indexes. */
  const slipped = (slips: Readonly<Record<number, 'wrong' | 'missed'>>, count = 30): HandTake => ({
    times: evenTimes(count, 200).map((time, i) => slips[i] ?? time),
    expectedMs: 200,
  });
  const bent = (bends: readonly Readonly<Record<number, number>>[]) =>
    verdicts(...bends.map((each) => ({ times: evenTimes(30, 200, each), expectedMs: 200 })));
  const sureOf = (takes: Parameters<typeof findSnags>[0], onset: number, count = 30) =>
    weighIntervals(takes, count)[onset - 1]!.confidence;

  it('puts the place that trips oftener first, and of equal ones the earlier', () => {
    const takes = verdicts(
      slipped({ 5: 'wrong', 20: 'wrong' }),
      slipped({ 20: 'wrong' }),
      slipped({ 20: 'wrong', 5: 'wrong' }),
      CLEAN,
    );
    expect(findSnags(takes, 30).map(({ onset }) => onset)).toEqual([20, 5]);
    const alike = verdicts(slipped({ 20: 'wrong', 5: 'wrong' }), slipped({ 20: 'wrong', 5: 'wrong' }));
    expect(findSnags(alike, 30).map(({ onset }) => onset)).toEqual([5, 20]);
  });

  it('puts the larger deviation first, and the larger unevenness', () => {
    const short = bent([1, 2, 3, 4].map(() => ({ 5: -50, 20: -80 })));
    expect(
      findSnags(short, 30)
        .map(({ onset }) => onset)
        .slice(0, 2),
    ).toEqual([21, 6]);
    const uneven = bent([1, -1, 1, -1].map((way) => ({ 5: way * 40, 20: way * 75 })));
    const found = findSnags(uneven, 30);
    expect(found.slice(0, 2).map(({ onset }) => onset)).toEqual([21, 6]);
    expect(found[0]!.kinds).toEqual(['uneven']);
    expect(found[0]!.weight).toBeGreaterThan(found[1]!.weight + 0.05);
  });

  it('names what is wrong by how often, down to one take in four', () => {
    const kinds = (...slips: readonly ('wrong' | 'missed' | undefined)[]) =>
      findSnags(verdicts(...slips.map((slip) => (slip ? slipped({ 10: slip }) : CLEAN))), 30)[0]!.kinds;
    expect(kinds('wrong', 'wrong', 'missed', 'wrong')).toEqual(['wrong notes', 'missed notes']);
    expect(kinds('missed', 'wrong', 'missed', 'missed')).toEqual(['missed notes', 'wrong notes']);
    expect(kinds('wrong', 'wrong', 'missed', 'wrong', 'wrong')).toEqual(['wrong notes']);
  });

  it('is less sure in the takes of a player who slips everywhere', () => {
    const scattered = [0, 1, 2, 3].map((take) =>
      slipped(Object.fromEntries([1, 2, 3, 4, 5].map((k) => [(k * 6 + take) % 30, 'wrong' as const]))),
    );
    const twice = (others: readonly HandTake[]) =>
      verdicts(
        ...others.map((each, i) =>
          i < 2
            ? { ...each, times: each.times.map((time, k) => (k === 16 ? ('wrong' as const) : time)) }
            : each,
        ),
      );
    const amongClean = sureOf(twice([CLEAN, CLEAN, CLEAN, CLEAN]), 16);
    expect(amongClean).toBeGreaterThan(0.5);
    expect(sureOf(twice(scattered), 16)).toBeLessThan(amongClean - 0.1);
  });

  it('is no less sure for another place that trips every time', () => {
    const survey = (habit: boolean) =>
      verdicts(
        ...[0, 1, 2, 3, 4].map((take) =>
          slipped({ ...(take < 2 ? { 10: 'wrong' } : {}), ...(habit ? { 22: 'wrong' } : {}) }),
        ),
      );
    expect(Math.abs(sureOf(survey(true), 10) - sureOf(survey(false), 10))).toBeLessThan(0.02);
  });

  it('is surer of a place in a short line than in a long one, and of one that was foreseen', () => {
    const once = (count: number) =>
      verdicts(slipped({ 4: 'wrong' }, count), slipped({}, count), slipped({}, count));
    expect(sureOf(once(9), 4, 9)).toBeGreaterThan(sureOf(once(90), 4, 90) + 0.05);
    const foreseen = Array.from({ length: 29 }, (_, i) => (i === 3 ? 4 : 1));
    expect(weighIntervals(once(30), 30, 1, foreseen)[3]!.confidence).toBeGreaterThan(
      sureOf(once(30), 4) + 0.05,
    );
  });

  it('is nothing without a take', () => {
    expect(weighIntervals([], 30)).toEqual([]);
  });
});
