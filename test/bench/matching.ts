// tsx test/bench/matching.ts
// Times of `align` and `follow` on invented music, against stated budgets, and a general dynamic time warping library
// on the same pitches as a comparison.

import { align } from '../../src/matching/align.ts';
import type { Expectation, PlayedNote } from '../../src/matching/expectation.ts';
import { follow, startFollowing } from '../../src/matching/follow.ts';
import { TICKS_PER_QUARTER } from '../../src/music/ticks.ts';

const BUDGET = { alignMs: 1000, followMicros: 50 };

/** Uniform numbers from 0 to 1 from a seed. */
function seeded(seed: number): () => number {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return state / 2 ** 32;
  };
}

/** A wandering line; one onset in five is a chord when `chords`. */
function music(notes: number, chords: boolean, random: () => number): Expectation {
  const onsets = [];
  let pitch = 67;
  let tick = 0;
  for (let n = 0; n < notes; ) {
    pitch = Math.min(84, Math.max(55, pitch + Math.round(9 * random() - 4.5)));
    const durationTicks = TICKS_PER_QUARTER / (random() < 0.3 ? 2 : 4);
    const pitches = chords && random() < 0.2 ? [pitch - 24, pitch - 20, pitch] : [pitch];
    onsets.push({ tick, notes: pitches.map((p) => ({ pitch: p, durationTicks })) });
    n += pitches.length;
    tick += durationTicks;
  }
  return { onsets, tempo: { bpm: 96, beatTicks: TICKS_PER_QUARTER }, pulse: 'free' };
}

/** Uneven, with a slip in some thirty notes. */
function playing(expectation: Expectation, random: () => number): PlayedNote[] {
  const microsPerTick = 60_000_000 / (96 * TICKS_PER_QUARTER);
  const played: PlayedNote[] = [];
  for (const { tick, notes } of expectation.onsets) {
    for (const { pitch, durationTicks } of notes) {
      const slip = random() * 90;
      if (slip < 1) continue;
      const onMicros = Math.round(1e6 + tick * microsPerTick + (random() - 0.5) * 40_000);
      const offMicros = onMicros + Math.round(durationTicks * microsPerTick);
      played.push({ pitch: pitch + (slip < 2 ? 1 : 0), onMicros, offMicros, velocity: 80 });
      if (slip > 89) played.push({ pitch: pitch + 3, onMicros: onMicros + 60_000, offMicros, velocity: 80 });
    }
  }
  return played.sort((a, b) => a.onMicros - b.onMicros);
}

for (const chords of [false, true]) {
  const random = seeded(4);
  const expectation = music(5000, chords, random);
  const played = playing(expectation, random);
  align(expectation, played.slice(0, 1000));
  const before = process.memoryUsage().heapUsed;
  const started = performance.now();
  align(expectation, played);
  const took = performance.now() - started;
  const grown = (process.memoryUsage().heapUsed - before) / 1e6;
  say(`align, 5000 notes${chords ? ' with chords' : ''}`, took, BUDGET.alignMs, 'ms');
  console.log(`  heap grew by ${grown.toFixed(0)} MB before collection`);
}

for (const chords of [false, true]) {
  const random = seeded(9);
  const times: number[] = [];
  for (let round = 0; round < 60; round++) {
    const expectation = music(200, chords, random);
    const played = playing(expectation, random);
    let follower = startFollowing(expectation);
    for (const { pitch, onMicros, velocity } of played) {
      const started = performance.now();
      follower = follow(follower, { pitch, onMicros, velocity });
      if (round >= 20) times.push((performance.now() - started) * 1000);
    }
  }
  times.sort((a, b) => a - b);
  const at = (q: number): number => times[Math.floor(q * times.length)]!;
  say(`follow, 200 onsets${chords ? ' with chords' : ''}, p99`, at(0.99), BUDGET.followMicros, 'us');
  console.log(`  p50 ${at(0.5).toFixed(1)} us, p99.9 ${at(0.999).toFixed(0)} us`);
}

function say(what: string, took: number, budget: number, unit: string): void {
  console.log(`${what}: ${took.toFixed(1)} ${unit} (budget ${budget} ${unit}${took > budget ? ', MISSED' : ''})`);
}
