// One take by the player model, as a pure function: notes, and the truth about them. The truth is what was put in,
// for tests of whatever has to find it out.

import type { PlayedNote } from '../music/played-note.ts';
import type { Tempo } from '../music/tempo.ts';
import type { PlantedSnag } from './planted-snag.ts';
import type { Profile } from './profile.ts';
import type { Random } from './random.ts';
import { letGo } from './releases.ts';
import type { ModelOnset } from './slip.ts';
import type { StrokeKind } from './stroke.ts';
import { type BentInterval, type InjectedSlip, walk } from './walk.ts';

export interface TakeOptions {
  /** Played time of tick 0. */
  readonly zeroMicros: number;
  /** True (the default): a click is heard and followed; false: entered and played freely. */
  readonly click?: boolean;
  /** A wind instrument: one note at a time, and blips. By default what has no chords is one. */
  readonly wind?: boolean;
  readonly snags?: readonly PlantedSnag[];
  /** How often the onset of this number was played before; by default never. */
  readonly timesPlayed?: (number: number) => number;
}

/** What a played note was meant as. */
interface NoteTruth {
  /** `restart`: belongs to a try that was given up. `grace`: a written grace note. */
  readonly as: StrokeKind;
  /** Index (from 0) of the onset it stands for or, for added notes, comes before. */
  readonly onset: number;
  /** Index into that onset's notes; absent for added notes. */
  readonly note?: number;
}

interface TakeTruth {
  /** One for each played note, in the same order. */
  readonly notes: readonly NoteTruth[];
  /** In order of happening. */
  readonly slips: readonly InjectedSlip[];
  /** Intervals bent by planted snags. */
  readonly bent: readonly BentInterval[];
}

export interface ModelTake {
  /** By time of striking. */
  readonly notes: readonly (PlayedNote & { readonly offMicros: number })[];
  readonly truth: TakeTruth;
}

/**
 * Plays the onsets (never empty) at a tempo. The same arguments and a generator in the same state give the same take.
 */
export function playTake(
  onsets: readonly ModelOnset[],
  tempo: Tempo,
  profile: Profile,
  random: Random,
  options: TakeOptions,
): ModelTake {
  const settings = {
    onsets,
    tempo,
    profile,
    random,
    zeroMicros: options.zeroMicros,
    click: options.click ?? true,
    wind:
      options.wind ?? onsets.every((onset) => onset.notes.filter((n) => n.ornament !== 'grace').length === 1),
    snags: options.snags ?? [],
    timesPlayed: options.timesPlayed ?? (() => 0),
  };
  const { strokes, slips, bent } = walk(settings);
  const labelled = letGo(strokes, settings).sort((a, b) => a.played.onMicros - b.played.onMicros);
  return {
    notes: labelled.map(({ played }) => played),
    truth: {
      notes: labelled.map(({ as, stroke }) => ({
        as: as.kind,
        onset: stroke.onset,
        ...(as.note === undefined || as.kind === 'restart' ? {} : { note: as.note }),
      })),
      slips,
      bent,
    },
  };
}
