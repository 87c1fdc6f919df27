// Which instrument a part is for, from what a file says: its name and how far it sounds from what is written.

import { INSTRUMENT_NAMES, INSTRUMENTS, type InstrumentName } from '../../music/instrument.ts';

/** Words of part names, in the order tried: the longer before the shorter that it contains. */
const NAMES: readonly [words: RegExp, instrument: InstrumentName][] = [
  [/bass\s*clarinet/, 'bass-clarinet'],
  [/(clarinet.*\bin a\b|\ba clarinet)/, 'clarinet-a'],
  [/(clarinet.*\b(e\s*flat|e[b♭])|\b(e\s*flat|e[b♭])\s*clarinet)/, 'clarinet-eb'],
  [/clarinet/, 'clarinet'],
  [/soprano\s*sax/, 'soprano-sax'],
  [/alto\s*sax/, 'alto-sax'],
  [/tenor\s*sax/, 'tenor-sax'],
  [/bari(tone)?\s*sax/, 'baritone-sax'],
  [/(descant|soprano)\s*recorder/, 'descant-recorder'],
  [/(treble|alto)\s*recorder/, 'treble-recorder'],
  [/tenor\s*recorder/, 'tenor-recorder'],
  [/bass\s*recorder/, 'bass-recorder'],
  [/piccolo/, 'piccolo'],
  [/flute/, 'flute'],
  [/(english|cor anglais)/, 'english-horn'],
  [/oboe/, 'oboe'],
  [/bassoon/, 'bassoon'],
  [/trumpet/, 'trumpet'],
  [/horn/, 'horn'],
  [/(keyboard|piano|organ|harpsichord)/, 'keyboard'],
];

/** Instruments for a bare transposition, the commonest of each. */
const BY_TRANSPOSITION: readonly InstrumentName[] = [
  'keyboard',
  'clarinet',
  'clarinet-a',
  'clarinet-eb',
  'alto-sax',
  'tenor-sax',
  'baritone-sax',
  'horn',
  'piccolo',
];

export interface InstrumentChoice {
  readonly instrument: InstrumentName;
  /** What was doubtful, one sentence. */
  readonly doubt?: string;
}

/** The instrument that a part's name means, if any. @example instrumentNamed('Clarinet in Bb') // 'clarinet' */
export function instrumentNamed(partName: string): InstrumentName | undefined {
  const text = partName.toLowerCase().trim();
  const exact = INSTRUMENT_NAMES.find(
    (name) => name === text || INSTRUMENTS[name].name.toLowerCase() === text,
  );
  return exact ?? NAMES.find(([words]) => words.test(text))?.[1];
}

/**
 * The instrument of a part that is called `partName` and sounds `transposition` semitones from what is written. The
 * transposition is the file's word and always wins; the name only chooses among instruments that agree with it.
 */
export function chooseInstrument(partName: string, transposition: number): InstrumentChoice {
  const named = instrumentNamed(partName);
  if (named && INSTRUMENTS[named].transposition === transposition) return { instrument: named };
  const fitting = BY_TRANSPOSITION.find((name) => INSTRUMENTS[name].transposition === transposition);
  if (named && transposition === 0) {
    const doubt = `the part is called "${partName}" but nothing in the file says that it transposes: read as sounding as written; choose the instrument with --instrument if it does`;
    return { instrument: 'keyboard', doubt };
  }
  if (named) {
    const doubt = `the part is called "${partName}" but sounds ${signed(transposition)} semitones from what is written: taken for ${fitting ? INSTRUMENTS[fitting].name : 'a keyboard'}`;
    return { instrument: fitting ?? 'keyboard', doubt };
  }
  if (fitting) return { instrument: fitting };
  return {
    instrument: 'keyboard',
    doubt: `no instrument known here sounds ${signed(transposition)} semitones from what is written`,
  };
}

function signed(semitones: number): string {
  return semitones > 0 ? `+${semitones}` : `${semitones}`;
}
