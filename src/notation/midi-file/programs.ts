// Programs of General MIDI 1 (its published sound set; here from 0, as in the bytes) and the instruments they mean.

import type { InstrumentName } from '../../music/instrument.ts';

/** By program; those that mean no single instrument that is known here (ensembles, effects, "recorder") are left out. */
const PROGRAMS: Readonly<Record<number, InstrumentName>> = {
  ...from(0, 8, 'keyboard'),
  8: 'celesta',
  9: 'glockenspiel',
  11: 'vibraphone',
  12: 'marimba',
  13: 'xylophone',
  14: 'tubular-bells',
  ...from(16, 5, 'keyboard'),
  21: 'accordion',
  ...from(24, 8, 'guitar'),
  32: 'double-bass',
  ...from(33, 7, 'bass-guitar'),
  40: 'violin',
  41: 'viola',
  42: 'cello',
  43: 'double-bass',
  46: 'harp',
  47: 'timpani',
  56: 'trumpet',
  57: 'trombone',
  58: 'tuba',
  59: 'trumpet',
  60: 'horn',
  64: 'soprano-sax',
  65: 'alto-sax',
  66: 'tenor-sax',
  67: 'baritone-sax',
  68: 'oboe',
  69: 'english-horn',
  70: 'bassoon',
  71: 'clarinet',
  72: 'piccolo',
  73: 'flute',
};

/** Programs that sound like instruments which have none of their own. */
const NEAREST: readonly (readonly [words: RegExp, program: number])[] = [
  [/clarinet/, 71],
  [/recorder/, 74],
  [/sax/, 67],
  [/bassoon/, 70],
  [/flute/, 73],
  [/cornet|flugelhorn|trumpet/, 56],
  [/trombone/, 57],
  [/euphonium|bass$/, 58],
  [/horn|mellophone/, 60],
];

function from(first: number, count: number, instrument: InstrumentName): Record<number, InstrumentName> {
  return Object.fromEntries(Array.from({ length: count }, (_, i) => [first + i, instrument]));
}

/** The program that sounds like an instrument; a piano's where there is none. */
export function programOf(instrument: InstrumentName): number {
  const own = Object.keys(PROGRAMS).find((program) => PROGRAMS[Number(program)] === instrument);
  // Bass guitar and double bass are no brass.
  if (own !== undefined) return instrument === 'double-bass' ? 43 : Number(own);
  return NEAREST.find(([words]) => words.test(instrument))?.[1] ?? 0;
}

export function instrumentOfProgram(program: number): InstrumentName | undefined {
  return PROGRAMS[program];
}

/** Programs stand in families of eight: the name of a track may say which member it is. */
export function areOneFamily(a: number, b: number): boolean {
  return a >> 3 === b >> 3;
}
