// Instruments: transposition and written range, those of a wind band and of a school orchestra. Written + transposition =
// sounding, in semitones. Ranges are practical, so a range warns and never refuses, except where a drill would leave it.

import type { Pitch } from './pitch.ts';

export interface Instrument {
  readonly name: string;
  /** Semitones to add to a written pitch to get the sounding one. */
  readonly transposition: number;
  /** Written range, MIDI numbers, inclusive. */
  readonly lowest: Pitch;
  readonly highest: Pitch;
  /** Where the transposition is read, then where the range is; see SOURCES. */
  readonly source: string;
}

/** What the letters of `source` stand for. */
export const SOURCES: Readonly<Record<string, string>> = {
  F: "the project's fact sheet, from orchestration handbooks: intervals read, lows from memory with high confidence",
  C: 'hand-out "Transpositions" of a college conducting class (georgetowncollege.edu, handout 6), read',
  O: 'OpenStax, "Transposing Instruments", read',
  L: 'list of instruments by transposition (encyclopedia), read',
  R: 'flash cards "Instrument Appendix", ranges and transpositions (studystack.com 697185), read',
  M: 'from memory',
  '-': 'by definition: the key that the name says, no range',
};

/** Anything that a MIDI note can be. */
const ANY = { lowest: 0, highest: 127 } as const;

const TABLE = {
  keyboard: { name: 'keyboard', transposition: 0, lowest: 21, highest: 108, source: 'F M' },
  flute: { name: 'flute', transposition: 0, lowest: 59, highest: 101, source: 'F F' },
  piccolo: { name: 'piccolo', transposition: 12, lowest: 62, highest: 96, source: 'F F' },
  'alto-flute': { name: 'alto flute', transposition: -5, lowest: 60, highest: 96, source: 'O M' },
  'bass-flute': { name: 'bass flute', transposition: -12, lowest: 60, highest: 96, source: 'L M' },
  oboe: { name: 'oboe', transposition: 0, lowest: 58, highest: 93, source: 'F F' },
  'english-horn': { name: 'english horn', transposition: -7, lowest: 59, highest: 91, source: 'F F' },
  clarinet: { name: 'clarinet in Bb', transposition: -2, lowest: 52, highest: 96, source: 'F F' },
  'clarinet-a': { name: 'clarinet in A', transposition: -3, lowest: 52, highest: 96, source: 'F F' },
  'clarinet-eb': { name: 'clarinet in Eb', transposition: 3, lowest: 52, highest: 96, source: 'F F' },
  'alto-clarinet': { name: 'alto clarinet', transposition: -9, lowest: 51, highest: 91, source: 'C M' },
  'bass-clarinet': { name: 'bass clarinet', transposition: -14, lowest: 48, highest: 91, source: 'F F' },
  'contra-alto-clarinet': {
    name: 'contra-alto clarinet',
    transposition: -21,
    lowest: 51,
    highest: 88,
    source: 'M M',
  },
  'contrabass-clarinet': {
    name: 'contrabass clarinet',
    transposition: -26,
    lowest: 48,
    highest: 88,
    source: 'M M',
  },
  bassoon: { name: 'bassoon', transposition: 0, lowest: 34, highest: 76, source: 'F F' },
  contrabassoon: { name: 'contrabassoon', transposition: -12, lowest: 34, highest: 72, source: 'C R' },
  'sopranino-sax': { name: 'sopranino saxophone', transposition: 3, lowest: 58, highest: 90, source: 'M M' },
  'soprano-sax': { name: 'soprano saxophone', transposition: -2, lowest: 58, highest: 90, source: 'F F' },
  'alto-sax': { name: 'alto saxophone', transposition: -9, lowest: 58, highest: 90, source: 'F F' },
  'tenor-sax': { name: 'tenor saxophone', transposition: -14, lowest: 58, highest: 90, source: 'F F' },
  'baritone-sax': { name: 'baritone saxophone', transposition: -21, lowest: 57, highest: 89, source: 'F F' },
  'bass-sax': { name: 'bass saxophone', transposition: -26, lowest: 58, highest: 89, source: 'M M' },
  'sopranino-recorder': {
    name: 'sopranino recorder',
    transposition: 12,
    lowest: 65,
    highest: 91,
    source: 'L M',
  },
  'descant-recorder': { name: 'descant recorder', transposition: 12, lowest: 60, highest: 86, source: 'F F' },
  'treble-recorder': { name: 'treble recorder', transposition: 0, lowest: 65, highest: 91, source: 'F F' },
  'tenor-recorder': { name: 'tenor recorder', transposition: 0, lowest: 60, highest: 86, source: 'F F' },
  'bass-recorder': { name: 'bass recorder', transposition: 12, lowest: 41, highest: 67, source: 'F F' },
  trumpet: { name: 'trumpet in Bb', transposition: -2, lowest: 54, highest: 89, source: 'F F' },
  'trumpet-c': { name: 'trumpet in C', transposition: 0, lowest: 54, highest: 89, source: 'C M' },
  'trumpet-eb': { name: 'trumpet in Eb', transposition: 3, lowest: 54, highest: 86, source: 'M M' },
  'soprano-cornet': { name: 'soprano cornet', transposition: 3, lowest: 54, highest: 86, source: 'M M' },
  cornet: { name: 'cornet in Bb', transposition: -2, lowest: 54, highest: 86, source: 'O M' },
  flugelhorn: { name: 'flugelhorn', transposition: -2, lowest: 54, highest: 84, source: 'L M' },
  horn: { name: 'horn in F', transposition: -7, lowest: 42, highest: 84, source: 'F F' },
  mellophone: { name: 'mellophone in F', transposition: -7, lowest: 54, highest: 84, source: 'M M' },
  'tenor-horn': { name: 'tenor horn in Eb', transposition: -9, lowest: 54, highest: 84, source: 'M M' },
  // Brass whose parts are written both ways: at concert pitch in the bass clef, in Bb or Eb in the treble clef.
  'baritone-horn': {
    name: 'baritone horn in Bb',
    transposition: -14,
    lowest: 54,
    highest: 84,
    source: 'C R',
  },
  'baritone-horn-c': { name: 'baritone horn in C', transposition: 0, lowest: 40, highest: 70, source: 'C M' },
  euphonium: { name: 'euphonium', transposition: 0, lowest: 36, highest: 74, source: 'R M' },
  'euphonium-bb': { name: 'euphonium in Bb', transposition: -14, lowest: 54, highest: 88, source: 'M M' },
  trombone: { name: 'trombone', transposition: 0, lowest: 40, highest: 74, source: 'C R' },
  'trombone-bb': { name: 'trombone in Bb', transposition: -14, lowest: 54, highest: 88, source: 'M M' },
  'alto-trombone': { name: 'alto trombone', transposition: 0, lowest: 45, highest: 77, source: 'M M' },
  'bass-trombone': { name: 'bass trombone', transposition: 0, lowest: 34, highest: 70, source: 'M M' },
  tuba: { name: 'tuba', transposition: 0, lowest: 24, highest: 65, source: 'C M' },
  'eb-bass': { name: 'bass in Eb', transposition: -21, lowest: 54, highest: 84, source: 'O M' },
  'bb-bass': { name: 'bass in Bb', transposition: -26, lowest: 54, highest: 84, source: 'O M' },
  violin: { name: 'violin', transposition: 0, lowest: 55, highest: 100, source: 'C M' },
  viola: { name: 'viola', transposition: 0, lowest: 48, highest: 88, source: 'C M' },
  cello: { name: 'cello', transposition: 0, lowest: 36, highest: 81, source: 'C M' },
  'double-bass': { name: 'double bass', transposition: -12, lowest: 36, highest: 67, source: 'C M' },
  harp: { name: 'harp', transposition: 0, lowest: 23, highest: 104, source: 'R M' },
  guitar: { name: 'guitar', transposition: -12, lowest: 52, highest: 88, source: 'L M' },
  'bass-guitar': { name: 'bass guitar', transposition: -12, lowest: 35, highest: 67, source: 'L M' },
  accordion: { name: 'accordion', transposition: 0, lowest: 29, highest: 96, source: 'L M' },
  celesta: { name: 'celesta', transposition: 12, lowest: 48, highest: 96, source: 'L M' },
  glockenspiel: { name: 'glockenspiel', transposition: 24, lowest: 53, highest: 84, source: 'L M' },
  xylophone: { name: 'xylophone', transposition: 12, lowest: 53, highest: 96, source: 'L M' },
  vibraphone: { name: 'vibraphone', transposition: 0, lowest: 53, highest: 89, source: 'R R' },
  marimba: { name: 'marimba', transposition: 0, lowest: 36, highest: 96, source: 'R M' },
  'tubular-bells': { name: 'tubular bells', transposition: 0, lowest: 60, highest: 79, source: 'M M' },
  timpani: { name: 'timpani', transposition: 0, lowest: 36, highest: 60, source: 'M M' },
  // For instruments that are not known here: all that is said of them is how far they sound from what is written.
  'in-c': { name: 'instrument in C', transposition: 0, ...ANY, source: '- -' },
  'in-high-c': { name: 'instrument in high C', transposition: 12, ...ANY, source: '- -' },
  'in-low-c': { name: 'instrument in low C', transposition: -12, ...ANY, source: '- -' },
  'in-high-eb': { name: 'instrument in high Eb', transposition: 3, ...ANY, source: '- -' },
  'in-bb': { name: 'instrument in Bb', transposition: -2, ...ANY, source: '- -' },
  'in-a': { name: 'instrument in A', transposition: -3, ...ANY, source: '- -' },
  'in-g': { name: 'instrument in G', transposition: -5, ...ANY, source: '- -' },
  'in-f': { name: 'instrument in F', transposition: -7, ...ANY, source: '- -' },
  'in-eb': { name: 'instrument in Eb', transposition: -9, ...ANY, source: '- -' },
  'in-low-bb': { name: 'instrument in low Bb', transposition: -14, ...ANY, source: '- -' },
  'in-low-eb': { name: 'instrument in low Eb', transposition: -21, ...ANY, source: '- -' },
  'in-lowest-bb': { name: 'instrument in lowest Bb', transposition: -26, ...ANY, source: '- -' },
} as const satisfies Record<string, Instrument>;

export type InstrumentName = keyof typeof TABLE;

export const INSTRUMENTS: Readonly<Record<InstrumentName, Instrument>> = TABLE;

export const INSTRUMENT_NAMES = Object.keys(TABLE) as InstrumentName[];

export function isInstrumentName(text: string): text is InstrumentName {
  return Object.hasOwn(TABLE, text);
}

/** The instrument of which only its transposition is known, where there is one. @example plainInstrument(-2) // 'in-bb' */
export function plainInstrument(transposition: number): InstrumentName | undefined {
  return INSTRUMENT_NAMES.find(
    (name) => name.startsWith('in-') && INSTRUMENTS[name].transposition === transposition,
  );
}

const TWO_HANDED: readonly InstrumentName[] = ['keyboard', 'celesta', 'harp', 'accordion', 'marimba'];
const CHORDAL: readonly InstrumentName[] = [
  ...TWO_HANDED,
  ...(['violin', 'viola', 'cello', 'double-bass', 'guitar', 'bass-guitar'] as const),
  ...(['glockenspiel', 'xylophone', 'vibraphone', 'tubular-bells', 'timpani'] as const),
];

/** Whether its parts are written for two hands on two staves. */
export function isTwoHanded(instrument: InstrumentName): boolean {
  return TWO_HANDED.includes(instrument);
}

/** Whether it can sound several notes at once; what is not known may. */
export function playsChords(instrument: InstrumentName): boolean {
  return CHORDAL.includes(instrument) || instrument.startsWith('in-');
}
