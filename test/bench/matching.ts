// tsx test/bench/matching.ts
// Times of `align` and `follow` on invented music, against stated budgets, and a general dynamic time warping library
// on the same pitches as a comparison.

import { createRequire } from 'node:module';
import { align } from '../../src/matching/align.ts';
import type { Expectation } from '../../src/matching/expectation.ts';
import { follow, startFollowing } from '../../src/matching/follow.ts';
import type { PlayedNote } from '../../src/music/played-note.ts';
import { TICKS_PER_QUARTER } from '../../src/music/ticks.ts';

/** The package has no types. */
interface Warping {
  new (
    a: readonly number[],
    b: readonly number[],
    distance: (a: number, b: number) => number,
  ): {
    getPath(): [number, number][];
  };
}
const DynamicTimeWarping = createRequire(import.meta.url)('dynamic-time-warping') as Warping;

const BUDGET = { alignMs: 600, longAlignMs: 3000, followMicros: 100 };

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

/** Uneven, with one slip in some thirty notes, or as said. */
function playing(
  expectation: Expectation,
  random: () => number,
  notesASlip = 30,
): { played: PlayedNote[]; truth: Map<number, number> } {
  const microsPerTick = 60_000_000 / (96 * TICKS_PER_QUARTER);
  const notes: (PlayedNote & { readonly onset: number })[] = [];
  for (const [onset, { tick, notes: written }] of expectation.onsets.entries()) {
    for (const { pitch, durationTicks } of written) {
      const slip = random() * 3 * notesASlip;
      if (slip < 1) continue;
      const onMicros = Math.round(1e6 + tick * microsPerTick + (random() - 0.5) * 40_000);
      const offMicros = onMicros + Math.round(durationTicks * microsPerTick);
      const wrong = slip < 2;
      notes.push({
        onset: wrong ? -1 : onset,
        pitch: pitch + (wrong ? 1 : 0),
        onMicros,
        offMicros,
        velocity: 80,
      });
      if (slip > 3 * notesASlip - 1) {
        notes.push({ onset: -1, pitch: pitch + 3, onMicros: onMicros + 60_000, offMicros, velocity: 80 });
      }
    }
  }
  notes.sort((a, b) => a.onMicros - b.onMicros);
  const truth = new Map(notes.flatMap(({ onset }, i) => (onset < 0 ? [] : [[onset, i] as const])));
  return { played: notes, truth };
}

for (const chords of [false, true]) {
  const random = seeded(4);
  const expectation = music(5000, chords, random);
  const { played } = playing(expectation, random);
  align(expectation, played.slice(0, 1000));
  const before = process.memoryUsage().heapUsed;
  const cpu = process.cpuUsage();
  align(expectation, played);
  say(`align, 5000 notes${chords ? ' with chords' : ''}`, processorMs(cpu), BUDGET.alignMs, 'ms');
  const grown = (process.memoryUsage().heapUsed - before) / 1e6;
  console.log(`  heap grew by ${grown.toFixed(0)} MB before collection`);
}

{
  const random = seeded(4);
  const expectation = music(20_000, false, random);
  const { played } = playing(expectation, random, 1000);
  const cpu = process.cpuUsage();
  align(expectation, played);
  say('align, 20,000 nearly perfect notes', processorMs(cpu), BUDGET.longAlignMs, 'ms');
}

{
  // Warping stretches and never leaves anything out: every slip pulls a note onto a neighbour.
  const random = seeded(21);
  let [ours, warped, notes, oursMs, warpedMs] = [0, 0, 0, 0, 0];
  for (let round = 0; round < 30; round++) {
    const expectation = music(100, false, random);
    const { played, truth } = playing(expectation, random);
    notes += truth.size;
    let started = performance.now();
    const alignment = align(expectation, played);
    oursMs += performance.now() - started;
    ours += alignment.notes.filter((n) => n.verdict === 'right' && truth.get(n.onset) === n.played).length;
    started = performance.now();
    const path = new DynamicTimeWarping(
      expectation.onsets.map((o) => o.notes[0]!.pitch),
      played.map((n) => n.pitch),
      (a, b) => Math.abs(a - b),
    ).getPath();
    warpedMs += performance.now() - started;
    const firstOf = new Map<number, number>();
    for (const [onset, by] of path) if (!firstOf.has(onset)) firstOf.set(onset, by);
    warped += [...truth].filter(([onset, by]) => firstOf.get(onset) === by).length;
  }
  const share = (n: number): string => `${((100 * n) / notes).toFixed(2)} %`;
  console.log(`right notes found where they were played: align ${share(ours)} in ${oursMs.toFixed(0)} ms,`);
  console.log(`  dynamic time warping on pitch ${share(warped)} in ${warpedMs.toFixed(0)} ms`);
}

for (const chords of [false, true]) {
  const random = seeded(9);
  const times: number[] = [];
  for (let round = 0; round < 60; round++) {
    const expectation = music(200, chords, random);
    const { played } = playing(expectation, random);
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

/** Processor time, which other work on the machine changes less than the clock's. */
function processorMs(since: NodeJS.CpuUsage): number {
  return process.cpuUsage(since).user / 1000;
}

function say(what: string, took: number, budget: number, unit: string): void {
  console.log(
    `${what}: ${took.toFixed(1)} ${unit} (budget ${budget} ${unit}${took > budget ? ', MISSED' : ''})`,
  );
}
