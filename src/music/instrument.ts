// Instruments: transposition and written range. Written + transposition = sounding, in semitones.
// Source: facts.md's table, compiled from handbooks; intervals read, lows from memory with high confidence, highs
// practical: so a range warns and never refuses, except where a drill would leave it.

import type { Pitch } from './pitch.ts';

export interface Instrument {
  readonly name: string;
  /** Semitones to add to a written pitch to get the sounding one. */
  readonly transposition: number;
  /** Written range, MIDI numbers, inclusive. */
  readonly lowest: Pitch;
  readonly highest: Pitch;
}

const TABLE = {
  keyboard: { name: 'keyboard', transposition: 0, lowest: 21, highest: 108 },
  flute: { name: 'flute', transposition: 0, lowest: 59, highest: 101 },
  piccolo: { name: 'piccolo', transposition: 12, lowest: 62, highest: 96 },
  oboe: { name: 'oboe', transposition: 0, lowest: 58, highest: 93 },
  'english-horn': { name: 'english horn', transposition: -7, lowest: 59, highest: 91 },
  clarinet: { name: 'clarinet in Bb', transposition: -2, lowest: 52, highest: 96 },
  'clarinet-a': { name: 'clarinet in A', transposition: -3, lowest: 52, highest: 96 },
  'clarinet-eb': { name: 'clarinet in Eb', transposition: 3, lowest: 52, highest: 96 },
  'bass-clarinet': { name: 'bass clarinet', transposition: -14, lowest: 48, highest: 91 },
  bassoon: { name: 'bassoon', transposition: 0, lowest: 34, highest: 76 },
  'soprano-sax': { name: 'soprano saxophone', transposition: -2, lowest: 58, highest: 90 },
  'alto-sax': { name: 'alto saxophone', transposition: -9, lowest: 58, highest: 90 },
  'tenor-sax': { name: 'tenor saxophone', transposition: -14, lowest: 58, highest: 90 },
  'baritone-sax': { name: 'baritone saxophone', transposition: -21, lowest: 57, highest: 89 },
  'descant-recorder': { name: 'descant recorder', transposition: 12, lowest: 60, highest: 86 },
  'treble-recorder': { name: 'treble recorder', transposition: 0, lowest: 65, highest: 91 },
  'tenor-recorder': { name: 'tenor recorder', transposition: 0, lowest: 60, highest: 86 },
  'bass-recorder': { name: 'bass recorder', transposition: 12, lowest: 41, highest: 67 },
  trumpet: { name: 'trumpet in Bb', transposition: -2, lowest: 54, highest: 89 },
  horn: { name: 'horn in F', transposition: -7, lowest: 42, highest: 84 },
} as const satisfies Record<string, Instrument>;

export type InstrumentName = keyof typeof TABLE;

export const INSTRUMENTS: Readonly<Record<InstrumentName, Instrument>> = TABLE;

export const INSTRUMENT_NAMES = Object.keys(TABLE) as InstrumentName[];

export function isInstrumentName(text: string): text is InstrumentName {
  return Object.hasOwn(TABLE, text);
}
