// When the model slips, and how. The chance of a slip grows with the load, which is how fast the note must come,
// made worse by how awkward the change is, over the player's limit.

import type { Spelling } from '../music/pitch.ts';
import { spellingToPitch } from '../music/pitch.ts';
import { type PlantedSnag, SNAG_EFFECTS } from './planted-snag.ts';
import type { Profile, SlipKind } from './profile.ts';
import type { Random } from './random.ts';

export interface ModelNote {
  readonly pitch: number;
  readonly durationTicks: number;
  readonly ornament?: 'grace' | 'trill' | 'mordent' | 'turn';
  readonly spelling?: Spelling;
  readonly slurred?: boolean;
}

/** What the model plays: the onsets of a step or of an expectation have this shape. */
export interface ModelOnset {
  readonly tick: number;
  readonly notes: readonly ModelNote[];
  /** Number of the passage's onset; by default the place in the list, from 1. */
  readonly number?: number;
}

export type ModelSlip =
  | { readonly kind: 'wrong'; readonly semitones: number }
  | { readonly kind: 'missed' }
  /** `twice`: the note itself struck again, else a neighbour on the way to it. */
  | { readonly kind: 'extra'; readonly twice: boolean; readonly semitones: number }
  /** `beats` is the pause in lengths of the interval. */
  | { readonly kind: 'hesitation'; readonly lengths: number }
  | {
      readonly kind: 'restart';
      readonly back: number;
      readonly afterWrong: boolean;
      readonly semitones: number;
    }
  | { readonly kind: 'blip'; readonly micros: number };

/** The break between the registers of the clarinet, written A#4 to B4; other winds have theirs not far from it. */
const BREAK_WRITTEN = 71;

/** 1 for a step, more for leaps, chords and changes of register. */
export function awkwardness(from: ModelOnset, to: ModelOnset, wind: boolean): number {
  const a = from.notes.at(-1)!;
  const b = to.notes.at(-1)!;
  const leap = Math.abs(b.pitch - a.pitch);
  const crossing = wind && written(a) < BREAK_WRITTEN !== written(b) < BREAK_WRITTEN;
  return (
    1 + 0.03 * Math.max(0, Math.min(leap, 19) - 2) + (crossing ? 0.35 : 0) + 0.06 * (to.notes.length - 1)
  );
}

/** How many times the limit an interval asks for. */
export function load(profile: Profile, intervalMicros: number, awkward: number): number {
  return (1_000_000 / Math.max(1, intervalMicros) / profile.limitPerSecond) * awkward;
}

/** Up to this share of the limit nothing goes wrong but what the floor says. */
const SAFE_LOAD = 0.6;

/**
 * Chance of a slip on one note, 0 to 1: the floor up to 0.6 of the limit, then logistic in the load, half of the
 * ceiling at the limit and nearly all of it at 1.4 times.
 * @param timesPlayed How often the player has played the note before.
 */
export function slipChance(profile: Profile, loadHere: number, timesPlayed = 0): number {
  const { slipFloor, slipCeiling, learning } = profile;
  const risen = Math.max(0, (logistic(loadHere) - logistic(SAFE_LOAD)) / (1 - 2 * logistic(SAFE_LOAD)));
  return (
    (slipFloor + Math.max(0, slipCeiling - slipFloor) * Math.min(1, risen)) *
    Math.exp(-learning * timesPlayed)
  );
}

function logistic(loadHere: number): number {
  return 1 / (1 + Math.exp((1 - loadHere) / 0.125));
}

/** Everything that goes wrong between two onsets: how the interval is bent, and at most one slip. */
export interface Trip {
  /** Share of the interval, positive = too long. */
  readonly bias: number;
  readonly slip?: ModelSlip;
  /** The planted snag at work here. */
  readonly planted?: PlantedSnag;
}

export interface TripPlace {
  readonly from: ModelOnset;
  readonly to: ModelOnset;
  /** Index of `to`: a restart cannot go back before the first. */
  readonly index: number;
  readonly intervalMicros: number;
  readonly wind: boolean;
  readonly timesPlayed: number;
  readonly planted?: PlantedSnag | undefined;
}

export function drawTrip(place: TripPlace, profile: Profile, random: Random): Trip {
  const { planted } = place;
  const awkward = awkwardness(place.from, place.to, place.wind);
  const loadHere = load(profile, place.intervalMicros, awkward);
  if (planted) {
    const strength = (planted.strength ?? 1) * Math.exp(-profile.learning * place.timesPlayed);
    let bias = 0;
    let slip: ModelSlip | undefined;
    for (const effect of SNAG_EFFECTS[planted.word]) {
      const unevenness = effect.unevenness * random.between(0.6, 1.4);
      bias += strength * (effect.bias + (random.chance(0.5) ? unevenness : -unevenness));
      if (random.chance(strength * effect.slipChance)) slip ??= drawSlip(effect.slip, place, random);
    }
    return slip ? { bias, slip, planted } : { bias, planted };
  }
  if (random.chance(slipChance(profile, loadHere, place.timesPlayed))) {
    const kinds = Object.entries(profile.slips) as [SlipKind, number][];
    if (kinds.some(([, weight]) => weight > 0)) {
      return { bias: 0, slip: drawSlip(random.pickByWeight(kinds), place, random) };
    }
  }
  const blip = { ...profile, slipFloor: 0, slipCeiling: profile.blipCeiling * Math.min(1, awkward - 1) };
  if (place.wind && random.chance(slipChance(blip, loadHere, place.timesPlayed))) {
    return { bias: 0, slip: drawSlip('blip', place, random) };
  }
  return { bias: 0 };
}

function drawSlip(kind: SlipKind | 'blip', place: TripPlace, random: Random): ModelSlip {
  switch (kind) {
    case 'wrong':
      return { kind, semitones: drawMisstep(random) };
    case 'missed':
      return { kind };
    case 'extra':
      return { kind, twice: random.chance(0.3), semitones: drawMisstep(random) };
    case 'hesitation':
      return { kind, lengths: random.between(0.5, 1.5) };
    case 'restart':
      return {
        kind,
        back: random.integer(1, Math.max(1, Math.min(4, place.index))),
        afterWrong: random.chance(0.5),
        semitones: drawMisstep(random),
      };
    case 'blip':
      // Fingers apart by tens of ms (Almeida et al. 2009), and never longer than a good part of the interval.
      return { kind, micros: Math.min(random.between(12_000, 40_000), 0.35 * place.intervalMicros) };
  }
}

/** Up or down by a semitone, a step or an octave, in this order of frequency. */
function drawMisstep(random: Random): number {
  const size = random.pickByWeight([
    [1, 45],
    [2, 40],
    [12, 15],
  ]);
  return random.chance(0.5) ? size : -size;
}

function written(note: ModelNote): number {
  return note.spelling ? spellingToPitch(note.spelling) : note.pitch;
}
