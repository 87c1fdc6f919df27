// Surveys with known trouble: a line of 31 to 121 onsets, two to five takes by a simulated player, and one to three
// planted snags.

import type { Tempo } from '../../src/music/tempo.ts';
import { type PlantedSnag, SNAG_WORDS, type SnagWord } from '../../src/simulation/planted-snag.ts';
import { type ModelTake, playTake } from '../../src/simulation/play-take.ts';
import { PROFILES, type ProfileName } from '../../src/simulation/profile.ts';
import { Random } from '../../src/simulation/random.ts';
import type { ModelOnset } from '../../src/simulation/slip.ts';
import { QUARTER } from '../simulation/music-for-models.ts';

export interface PlantedCase {
  readonly seed: number;
  readonly onsets: readonly ModelOnset[];
  readonly profileName: ProfileName;
  readonly snags: readonly PlantedSnag[];
  readonly takes: readonly { readonly tempo: Tempo; readonly click: boolean; readonly take: ModelTake }[];
}

export interface CaseChoice {
  readonly profiles: readonly ProfileName[];
  readonly words?: readonly SnagWord[];
  readonly click?: boolean;
  /** Of the planted snags, 1 by default; 0 plants none. */
  readonly strength?: number;
  /** Fastest notes over the player's tempo limit, 0.5 by default. */
  readonly load?: number;
  /** Two to four notes on many onsets. */
  readonly chords?: boolean;
}

export function plantedCase(seed: number, choice: CaseChoice): PlantedCase {
  const random = new Random(seed, 99);
  const onsets = randomLine(random, random.integer(31, 121), choice.chords === true);
  const profileName = random.pick(choice.profiles);
  const snags: PlantedSnag[] = [];
  const count = random.integer(1, 3);
  while (snags.length < count) {
    const onset = random.integer(2, onsets.length - 2);
    if (snags.every((snag) => Math.abs(snag.onset - onset) >= 3)) {
      snags.push({ onset, word: random.pick(choice.words ?? SNAG_WORDS), strength: choice.strength ?? 1 });
    }
  }
  const takes = Array.from({ length: random.integer(2, 5) }, () => {
    // Not twice at quite the same tempo; the shortest notes a little slower than the player's limit allows.
    const shortest = Math.min(...onsets.slice(1).map((onset, i) => onset.tick - onsets[i]!.tick));
    const limit = PROFILES[profileName].limitPerSecond;
    const perSecond = Math.min(8, (choice.load ?? 0.5) * limit) * random.between(0.85, 1);
    const tempo = { bpm: (60 * perSecond * shortest) / QUARTER, beatTicks: QUARTER };
    const click = choice.click ?? random.chance(0.5);
    const take = playTake(onsets, tempo, PROFILES[profileName], random, {
      zeroMicros: 4_000_000,
      click,
      snags,
    });
    return { tempo, click, take };
  });
  return { seed, onsets, profileName, snags, takes };
}

/** True when every planted interval stands before all others. */
export function lead(
  ranked: readonly { readonly onset: number }[],
  planted: readonly PlantedSnag[],
): boolean {
  const first = ranked.slice(0, planted.length).map((snag) => snag.onset);
  return planted.every((snag) => first.includes(snag.onset));
}

/** Steps and leaps up and down within two octaves; equal notes, or mixed lengths. */
function randomLine(random: Random, count: number, chords: boolean): ModelOnset[] {
  const mixed = random.chance(0.5);
  const onsets: ModelOnset[] = [];
  let pitch = random.integer(60, 78);
  let tick = 0;
  for (let i = 0; i < count; i++) {
    const durationTicks = mixed ? random.pick([QUARTER / 2, QUARTER / 2, QUARTER / 4, QUARTER]) : QUARTER / 4;
    const below = chords && random.chance(0.6) ? [3, 7, 12].slice(0, random.integer(1, 3)) : [];
    const pitches = [...below.map((semitones) => pitch - semitones).toReversed(), pitch];
    onsets.push({ tick, number: i + 1, notes: pitches.map((each) => ({ pitch: each, durationTicks })) });
    tick += durationTicks;
    const step = random.pick([1, 2, 2, 3, 4, 5, 7]) * (random.chance(0.5) ? 1 : -1);
    pitch += pitch + step < 57 || pitch + step > 84 ? -step : step;
  }
  return onsets;
}

/** True when each planted snag did something in at least one take. */
export function showed({ snags, takes }: PlantedCase): boolean {
  return snags.every((snag) =>
    takes.some(
      ({ take: { truth } }) =>
        truth.bent.some(({ from, share }) => from === snag.onset - 1 && Math.abs(share) > 0.15) ||
        truth.slips.some(({ planted, onset }) => planted && onset === snag.onset),
    ),
  );
}
