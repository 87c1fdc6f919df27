// What a take was: per note, per interval, as a whole. Signs: positive = late or long, negative = early or short.

import type { ExtraNote, NoteVerdict } from '../matching/alignment.ts';
import type { Pitch } from '../music/pitch.ts';
import type { Cause } from './cause.ts';
import type { HandNotes, StrandsTogether } from './strands.ts';
import type { Tolerance } from './tolerance.ts';
import type { Touch, TouchTrouble } from './touch.ts';

/** From one expected onset to the next. Only between two onsets that were both played rightly with nothing between. */
export interface IntervalVerdict {
  /** Indexes (from 0) of the expected onsets; `to` is `from` + 1, of one hand alone its next. */
  readonly from: number;
  readonly to: number;
  /** Of one hand alone, where two play. */
  readonly hand?: HandNotes;
  readonly expectedMicros: number;
  readonly playedMicros: number;
  /** played - expected. */
  readonly deviationMicros: number;
  /** deviation / expected. */
  readonly share: number;
  /** The widest deviation allowed here, and whether this one is within it. */
  readonly allowedMicros: number;
  readonly clean: boolean;
}

/** Where the onsets stood against the click, the constant lag removed. Absent without a click. */
export interface Placement {
  /** The constant part (instrument, sound, habit of anticipating), positive = late; unknown where the click's zero is. */
  readonly lagMicros?: number;
  /** Standard deviation of what is left. */
  readonly spreadMicros: number;
  /** Change of placement over the take, microseconds a second: positive = falling behind. */
  readonly driftMicrosPerSecond: number;
  /** By expected onset; undefined where it was not played rightly. */
  readonly offsetsMicros: readonly (number | undefined)[];
}

/** How even the take was. */
export interface Evenness {
  /** Sample standard deviation of interval deviations. */
  readonly sdMicros: number;
  /** The same as a share of the mean interval. */
  readonly variation: number;
  /** Wing & Kristofferson 1973: motor variance from the lag-1 autocovariance, clock variance the rest; SDs. */
  readonly clockSdMicros?: number;
  readonly motorSdMicros?: number;
}

/** Overlap (positive) or gap (negative) between an onset's notes and the next onset. */
export interface Joint {
  readonly from: number;
  readonly overlapMicros: number;
  /** A slur is written over it. */
  readonly slurred?: true;
}

/** One thing that kept the take from being clean, worst first in a verdict. */
export type Trouble =
  | {
      readonly kind: 'wrong';
      readonly onset: number;
      readonly note: number;
      readonly played: number;
      /** Sounding; what the sentence names. */
      readonly playedPitch?: Pitch;
      /** Other notes of its chord were played. */
      readonly ofChord?: true;
    }
  | {
      readonly kind: 'missed';
      readonly onset: number;
      readonly note: number;
      /** Other notes of its chord were played. */
      readonly ofChord?: true;
    }
  | {
      readonly kind: 'extra';
      readonly before: number;
      readonly played: number;
      readonly playedPitch?: Pitch;
      /** Struck with this onset's chord. */
      readonly chord?: number;
      /** Struck with this onset's single note: two keys went down. */
      readonly withNote?: number;
    }
  | {
      readonly kind: 'blip';
      /** The right note after it; the one before it is the onset before. */
      readonly before: number;
      readonly played: number;
      /** Sounding: what was heard between the two. */
      readonly playedPitch: Pitch;
      /** When its two right neighbours and it began, and how long it sounded (to the right one, if it was held on). */
      readonly leftMicros: number;
      readonly onMicros: number;
      readonly lastedMicros: number;
      readonly rightMicros: number;
    }
  | { readonly kind: 'restart'; readonly before: number; readonly notes: number }
  | { readonly kind: 'rushed' | 'dragged' | 'hesitated'; readonly interval: IntervalVerdict }
  | {
      readonly kind: 'placed';
      readonly onset: number;
      readonly offsetMicros: number;
      /** All of it stood there: it was entered so. */
      readonly whole?: true;
    }
  | Exclude<Cause, { readonly kind: 'interval' | 'uneven' }>
  /** Nothing explains it but fingers that were not even; the interval that strayed most. */
  | { readonly kind: 'uneven'; readonly sdMicros: number; readonly interval?: IntervalVerdict }
  | { readonly kind: 'chord'; readonly onset: number; readonly spreadMicros: number }
  | { readonly kind: 'ran-on'; readonly notes: number }
  /** The right notes, but all of it came in so many beats late (negative: early). */
  | { readonly kind: 'entered'; readonly beats: number }
  /** Nothing was played after this onset, though there was time for `left` more. */
  | { readonly kind: 'stopped-short'; readonly onset: number; readonly left: number }
  /** The first onset was not struck, and all after it were: it was held over from the landing before. */
  | { readonly kind: 'tied-over' }
  /** The landing was let go long before its hold was over. */
  | { readonly kind: 'clipped'; readonly onset: number; readonly heldMicros: number }
  | { readonly kind: 'octave'; readonly octaves: number }
  | TouchTrouble
  /** The right notes, all so many semitones too high (negative: too low), no whole octaves. */
  | { readonly kind: 'transposed'; readonly semitones: number }
  | { readonly kind: 'silent' };

export interface TakeVerdict {
  readonly clean: boolean;
  /** Worst first; empty exactly when clean. */
  readonly troubles: readonly Trouble[];
  readonly notes: readonly NoteVerdict[];
  readonly extras: readonly ExtraNote[];
  readonly intervals: readonly IntervalVerdict[];
  /** Played time of each expected onset (a chord's is the median of its notes); undefined where not played rightly. */
  readonly onsetMicros: readonly (number | undefined)[];
  /** Spread of each chord, last note minus first; 0 for single notes. */
  readonly spreadMicros: readonly number[];
  readonly joints: readonly Joint[];
  readonly placement?: Placement;
  readonly evenness?: Evenness;
  /** Where two hands play. */
  readonly together?: StrandsTogether;
  /** How loud the notes were against their neighbours, where the instrument tells. */
  readonly touch?: Touch;
  /** The landing was let go too soon where that is no fault: advice. */
  readonly letGo?: Extract<Trouble, { readonly kind: 'clipped' }>;
  /** An even touch was asked for, and the instrument sends the same strength for every note. */
  readonly touchUnknown?: true;
  /** Tempo as played over tempo asked: 1.02 is 2 % faster. */
  readonly pace: number;
  readonly tolerance: Tolerance;
}
