import fc from 'fast-check';
import { mean, sampleCorrelation, sampleVariance } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { ticksToMicros } from '../../src/music/tempo.ts';
import { SNAG_WORDS } from '../../src/simulation/planted-snag.ts';
import { playTake } from '../../src/simulation/play-take.ts';
import { PROFILES, type Profile } from '../../src/simulation/profile.ts';
import { Random } from '../../src/simulation/random.ts';
import { awkwardness, load, slipChance } from '../../src/simulation/slip.ts';
import { sample } from '../sample.ts';
import { eighthsOf, line, QUARTER, scaleLine } from './music-for-models.ts';

const CALM = { ...PROFILES.exact, correction: 0 } as const satisfies Profile;

describe('the timing of the player model', () => {
  // Wing & Kristofferson 1973: I_j = C_j + D_{j+1} - D_j, so var(I) = var(C) + 2 var(D), lag-1 autocovariance -var(D),
  // and its autocorrelation lies in [-0.5, 0]. simple-statistics calculates both sides here.
  const CASES = [
    { clockShare: 0.04, motorSdMicros: 6_000, micros: 250_000 },
    { clockShare: 0.02, motorSdMicros: 12_000, micros: 400_000 },
    { clockShare: 0, motorSdMicros: 10_000, micros: 250_000 },
    { clockShare: 0.05, motorSdMicros: 0, micros: 200_000 },
  ];
  for (const { clockShare, motorSdMicros, micros } of CASES) {
    it(`has the published variance and autocovariance with a clock of ${clockShare * 100} % and a motor SD of ${motorSdMicros} µs`, () => {
      const played = intervals({ ...CALM, clockShare, motorSdMicros }, micros, 12_001);
      const clockVariance = (clockShare * micros) ** 2;
      const motorVariance = motorSdMicros ** 2;
      expect(sampleVariance(played) / (clockVariance + 2 * motorVariance)).toBeCloseTo(1, 1);
      const correlation = sampleCorrelation(played.slice(0, -1), played.slice(1));
      expect(correlation * sampleVariance(played)).toBeGreaterThan(
        -motorVariance - 0.05 * sampleVariance(played),
      );
      expect(correlation * sampleVariance(played)).toBeLessThan(
        -motorVariance + 0.05 * sampleVariance(played),
      );
      expect(correlation).toBeGreaterThan(-0.53);
      expect(correlation).toBeLessThan(0.03);
    });
  }

  it('has a clock variance that grows with the interval and a motor variance that does not', () => {
    const profile = { ...CALM, clockShare: 0.03, motorSdMicros: 8_000 };
    const motorVariances = [200_000, 400_000, 800_000].map((micros) => {
      const played = intervals(profile, micros, 12_001);
      const covariance = sampleCorrelation(played.slice(0, -1), played.slice(1)) * sampleVariance(played);
      const clockSd = Math.sqrt(sampleVariance(played) + 2 * covariance);
      expect(clockSd / micros).toBeCloseTo(0.03, 2);
      return -covariance;
    });
    for (const variance of motorVariances) expect(Math.sqrt(variance) / 8_000).toBeCloseTo(1, 0);
  });

  it('stays with the click when it corrects, and wanders off when it does not', () => {
    const wild = { ...CALM, clockShare: 0.04, motorSdMicros: 5_000 };
    const spread = (correction: number) => {
      const onsets = scaleLine(400);
      const tempo = eighthsOf(250_000);
      const { notes } = playTake(onsets, tempo, { ...wild, correction }, new Random(5), { zeroMicros: 0 });
      const late = notes.map((note, i) => note.onMicros - ticksToMicros(onsets[i]!.tick, tempo));
      return Math.sqrt(sampleVariance(late));
    };
    expect(spread(0.4)).toBeLessThan(30_000);
    expect(spread(0)).toBeGreaterThan(2 * spread(0.4));
  });

  it('comes before the click by the lag, and further by its bias over the correction', () => {
    // Stationary asynchrony of first-order correction with a constant bias b: -alpha * A + b = 0, so A = b / alpha.
    const onsets = Array.from({ length: 300 }, (_, i) => ({
      tick: i * QUARTER,
      notes: [{ pitch: 60 + (i % 3), durationTicks: QUARTER }],
    }));
    const tempo = { bpm: 120, beatTicks: QUARTER };
    const profile = { ...CALM, lagMicros: -20_000, bias: -0.02, correction: 0.5 };
    const { notes } = playTake(onsets, tempo, profile, new Random(1), { zeroMicros: 1_000_000 });
    const late = notes.map((note, i) => note.onMicros - 1_000_000 - i * 500_000);
    expect(late[0]).toBe(-20_000);
    expect(late.at(-1)).toBeCloseTo(-20_000 - (0.02 * 500_000) / 0.5, -2);
  });

  it('rushes or drags by its habit when it plays freely', () => {
    const pace = (profile: Profile) => {
      const quiet = { ...profile, slipFloor: 0, slipCeiling: 0, blipCeiling: 0 };
      const { notes } = playTake(scaleLine(60), eighthsOf(300_000), quiet, new Random(2), {
        zeroMicros: 0,
        click: false,
      });
      return (notes.at(-1)!.onMicros - notes[0]!.onMicros) / (59 * 300_000);
    };
    expect(pace(PROFILES.nervous)).toBeLessThan(0.95);
    expect(pace(PROFILES.heavy)).toBeGreaterThan(1.05);
    expect(pace(PROFILES.exact)).toBe(1);
  });
});

describe('the slips of the player model', () => {
  it('plays exactly what is written as the exact player, chords and rests included', () => {
    const onsets = [
      { tick: 0, notes: [48, 55, 64].map((pitch) => ({ pitch, durationTicks: QUARTER })) },
      { tick: 2 * QUARTER, notes: [{ pitch: 67, durationTicks: QUARTER / 2 }] },
      { tick: 2.5 * QUARTER, notes: [{ pitch: 67, durationTicks: QUARTER / 2 }] },
    ];
    const { notes, truth } = playTake(
      onsets,
      { bpm: 60, beatTicks: QUARTER },
      PROFILES.exact,
      new Random(1),
      {
        zeroMicros: 500_000,
      },
    );
    expect(notes.map((n) => [n.pitch, n.onMicros, n.offMicros])).toEqual([
      [48, 500_000, 1_500_000],
      [55, 500_000, 1_500_000],
      [64, 500_000, 1_500_000],
      [67, 2_500_000, 2_995_000],
      [67, 3_000_000, 3_500_000],
    ]);
    expect(truth.slips).toEqual([]);
    expect(truth.notes.every((note) => note.as === 'right')).toBe(true);
  });

  it('is always clean as the steady player at a moderate tempo', () => {
    for (let seed = 1; seed <= sample(100, 30); seed++) {
      const { truth, notes } = playTake(
        scaleLine(48),
        eighthsOf(200_000),
        PROFILES.steady,
        new Random(seed),
        {
          zeroMicros: 0,
        },
      );
      expect(truth.slips).toEqual([]);
      const gaps = notes.slice(1).map((note, i) => note.onMicros - notes[i]!.onMicros - 200_000);
      // Within 28 ms: the preset `steady` of 28 ms or 13 %.
      expect(Math.max(...gaps.map(Math.abs))).toBeLessThan(28_000);
    }
  });

  it('slips more the faster it must play, in the model and in its takes', () => {
    const takes = sample(60, 20);
    const rates = [400_000, 250_000, 160_000, 120_000, 80_000].map((micros) => {
      let slips = 0;
      for (let seed = 1; seed <= takes; seed++) {
        const take = playTake(scaleLine(40), eighthsOf(micros), PROFILES.pupil, new Random(seed), {
          zeroMicros: 0,
        });
        slips += take.truth.slips.length;
      }
      return slips / (takes * 39);
    });
    expect(rates).toEqual([...rates].sort((a, b) => a - b));
    expect(rates[0]).toBeLessThan(0.01);
    expect(rates.at(-1)).toBeGreaterThan(0.2);
    const chances = [0.2, 0.6, 0.8, 1, 1.2, 2].map((l) => slipChance(PROFILES.pupil, l));
    expect(chances).toEqual([...chances].sort((a, b) => a - b));
    expect(slipChance(PROFILES.pupil, 1)).toBeCloseTo((0.25 + 0.001) / 2, 2);
  });

  it('slips more at leaps and over the break of a wind instrument', () => {
    const [low, step, leap] = line([66, 67, 76]) as [never, never, never];
    expect(awkwardness(low, leap, false)).toBeGreaterThan(awkwardness(low, step, false));
    const [a4, b4] = line([69, 71]) as [never, never];
    expect(awkwardness(a4, b4, true)).toBeGreaterThan(awkwardness(a4, b4, false));
    expect(load(PROFILES.pupil, 125_000, 1)).toBe(1);
  });

  it('slips less each time it has played a note before', () => {
    const chances = [0, 1, 2, 5].map((times) => slipChance(PROFILES.pupil, 1, times));
    expect(chances).toEqual([...chances].sort((a, b) => b - a));
    expect(chances[3]).toBeLessThan(0.4 * chances[0]!);
  });

  it('does each planted thing at the planted interval, mostly, and nothing like it elsewhere', () => {
    const onsets = scaleLine(20);
    const takes = sample(40, 20);
    for (const word of SNAG_WORDS) {
      let hits = 0;
      for (let seed = 1; seed <= takes; seed++) {
        const { truth } = playTake(onsets, eighthsOf(250_000), PROFILES.exact, new Random(seed), {
          zeroMicros: 0,
          snags: [{ onset: 7, word }],
        });
        expect(truth.slips.every((s) => s.onset === 7 && s.planted)).toBe(true);
        expect(truth.bent.every((b) => b.from === 6)).toBe(true);
        if (truth.slips.length > 0 || truth.bent.some((b) => Math.abs(b.share) > 0.1)) hits++;
      }
      expect(hits, word).toBeGreaterThan(takes / 2);
    }
  });

  it('sounds a blip shortly, right before its target, on winds only', () => {
    const planted = { zeroMicros: 0, snags: [{ onset: 4, word: 'blips' as const }] };
    const { notes, truth } = playTake(
      line([60, 62, 64, 65, 72, 71]),
      eighthsOf(200_000),
      PROFILES.exact,
      new Random(3),
      planted,
    );
    const at = truth.notes.findIndex((note) => note.as === 'blip');
    const blip = notes[at]!;
    expect(blip.offMicros - blip.onMicros).toBeLessThanOrEqual(40_000);
    expect(blip.pitch).toBeGreaterThan(65);
    expect(blip.pitch).toBeLessThan(72);
    expect(notes[at + 1]!.pitch).toBe(72);
    expect(notes[at + 1]!.onMicros - blip.onMicros).toBeLessThanOrEqual(40_000);
    const chords = line([60, 62, 64, 74, 60, 72]).map((o) => ({
      ...o,
      notes: [{ pitch: 40, durationTicks: QUARTER / 2 }, ...o.notes],
    }));
    const fast = Array.from({ length: 50 }, (_, i) =>
      playTake(chords, eighthsOf(80_000), PROFILES.beginner, new Random(i), { zeroMicros: 0 }),
    );
    expect(fast.flatMap((take) => take.truth.notes.filter((note) => note.as === 'blip'))).toEqual([]);
  });

  it('goes back, marks the try it gave up, and comes in again on a beat of the click', () => {
    const tempo = eighthsOf(250_000);
    const onsets = scaleLine(16);
    const seeds = Array.from({ length: 30 }, (_, i) => i + 1);
    let restarts = 0;
    for (const seed of seeds) {
      const { notes, truth } = playTake(onsets, tempo, PROFILES.exact, new Random(seed), {
        zeroMicros: 0,
        snags: [{ onset: 8, word: 'restarts' }],
      });
      const restart = truth.slips.find(({ slip }) => slip.kind === 'restart');
      if (restart?.slip.kind !== 'restart') continue;
      restarts++;
      const back = restart.onset - restart.slip.back;
      const again = truth.notes.findIndex((note) => note.as === 'right' && note.onset === back);
      const late = notes[again]!.onMicros - ticksToMicros(onsets[back]!.tick, tempo);
      expect(late).toBeGreaterThan(0);
      expect(late % 500_000).toBe(0);
      expect(truth.notes.filter((n) => n.as === 'right').map((n) => n.onset)).toEqual(
        onsets.map((_, i) => i),
      );
      expect(truth.notes.filter((n) => n.as === 'restart').length).toBe(
        restart.slip.back + (restart.slip.afterWrong ? 1 : 0),
      );
    }
    expect(restarts).toBeGreaterThan(10);
  });

  it('stays in its new place on the click after going back', () => {
    const tempo = eighthsOf(250_000);
    const onsets = scaleLine(16);
    const { notes, truth } = playTake(onsets, tempo, { ...PROFILES.exact, correction: 0.5 }, new Random(2), {
      zeroMicros: 0,
      snags: [{ onset: 8, word: 'restarts' }],
    });
    expect(truth.slips.map(({ slip }) => slip.kind)).toEqual(['restart']);
    const late = truth.notes.flatMap(({ as, onset }, i) =>
      as === 'right' ? [notes[i]!.onMicros - ticksToMicros(onsets[onset]!.tick, tempo)] : [],
    );
    expect(late.at(-1)).toBeGreaterThan(0);
    expect(late.at(-1)! % 500_000).toBe(0);
  });

  it('gives the same take for the same seed and another for another', () => {
    const take = (seed: number) =>
      playTake(scaleLine(40), eighthsOf(130_000), PROFILES.beginner, new Random(seed), { zeroMicros: 0 });
    expect(take(7)).toEqual(take(7));
    expect(take(8)).not.toEqual(take(7));
  });

  it('never strikes a pitch that sounds, and lets every note go after striking it, whatever it plays', () => {
    const profiles = Object.values(PROFILES);
    fc.assert(
      fc.property(
        fc.array(fc.array(fc.integer({ min: 30, max: 100 }), { minLength: 1, maxLength: 4 }), {
          minLength: 1,
          maxLength: 40,
        }),
        fc.nat(),
        fc.constantFrom(...profiles),
        fc.integer({ min: 60_000, max: 600_000 }),
        fc.boolean(),
        (chords, seed, profile, micros, click) => {
          const onsets = chords.map((chord, i) => ({
            tick: (i * QUARTER) / 2,
            notes: [...new Set(chord)]
              .sort((a, b) => a - b)
              .map((pitch) => ({ pitch, durationTicks: QUARTER / 2 })),
          }));
          const options = { zeroMicros: 2_000_000, click };
          const { notes, truth } = playTake(onsets, eighthsOf(micros), profile, new Random(seed), options);
          expect(truth.notes).toHaveLength(notes.length);
          const sounding = new Map<number, number>();
          let before = 0;
          for (const note of notes) {
            expect(note.onMicros).toBeGreaterThanOrEqual(before);
            expect(note.offMicros).toBeGreaterThan(note.onMicros);
            expect(note.onMicros).toBeGreaterThanOrEqual(sounding.get(note.pitch) ?? 0);
            sounding.set(note.pitch, note.offMicros);
            before = note.onMicros;
            expect(note.velocity).toBeGreaterThanOrEqual(1);
            expect(note.velocity).toBeLessThanOrEqual(127);
          }
        },
      ),
      { numRuns: sample(200, 30) },
    );
  });
});

/** Intervals of a long free line without slips, in µs, their mean removed. */
function intervals(profile: Profile, micros: number, count: number): number[] {
  const options = { zeroMicros: 10_000_000, click: false };
  const { notes } = playTake(scaleLine(count), eighthsOf(micros), profile, new Random(11), options);
  const played = notes.slice(1).map((note, i) => note.onMicros - notes[i]!.onMicros);
  const average = mean(played);
  return played.map((interval) => interval - average);
}
