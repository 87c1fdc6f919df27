import { describe, expect, it } from 'vitest';
import { INSTRUMENT_NAMES, INSTRUMENTS, type InstrumentName } from '../../../src/music/instrument.ts';
import {
  chooseInstrument,
  instrumentNamed,
  namesAnInstrument,
} from '../../../src/notation/choice/instrument.ts';
import { instrumentOfProgram, programOf } from '../../../src/notation/midi-file/programs.ts';

// Names as scores and MIDI files have them (common practice, no source).
const NAMED: readonly [string, InstrumentName][] = [
  ['Flute 1', 'flute'],
  ['Alto Flute', 'alto-flute'],
  ['Piccolo', 'piccolo'],
  ['Oboe', 'oboe'],
  ['Cor Anglais', 'english-horn'],
  ['Bb Clarinet 2', 'clarinet'],
  ['Clarinet in Eb', 'clarinet-eb'],
  ['E♭ Clarinet', 'clarinet-eb'],
  ['Clarinet in A', 'clarinet-a'],
  ['Alto Clarinet', 'alto-clarinet'],
  ['Bass Clarinet in Bb', 'bass-clarinet'],
  ['Contra-alto Clarinet', 'contra-alto-clarinet'],
  ['Bassoon II', 'bassoon'],
  ['Contrabassoon', 'contrabassoon'],
  ['Double Bassoon', 'contrabassoon'],
  ['Alto Sax', 'alto-sax'],
  ['Tenor Saxophone', 'tenor-sax'],
  ['Bari Sax', 'baritone-sax'],
  ['Cornet', 'cornet'],
  ['Solo Cornet in Bb', 'cornet'],
  ['Soprano Cornet', 'soprano-cornet'],
  ['Flugelhorn', 'flugelhorn'],
  ['Trumpet in C', 'trumpet-c'],
  ['Bb Trumpet 1', 'trumpet'],
  ['Horn in F 3', 'horn'],
  ['French Horn', 'horn'],
  ['Tenor Horn', 'tenor-horn'],
  ['Baritone Horn', 'baritone-horn'],
  ['Baritone (T.C.)', 'baritone-horn'],
  ['Euphonium', 'euphonium'],
  ['Trombone 1', 'trombone'],
  ['Bass Trombone', 'bass-trombone'],
  ['Tuba', 'tuba'],
  ['Eb Bass', 'eb-bass'],
  ['Bass in Bb', 'bb-bass'],
  ['BBb Bass', 'bb-bass'],
  ['Violin II', 'violin'],
  ['Viola', 'viola'],
  ['Violoncello', 'cello'],
  ['Contrabass', 'double-bass'],
  ['String Bass', 'double-bass'],
  ['Bass Guitar', 'bass-guitar'],
  ['Acoustic Guitar', 'guitar'],
  ['Harpsichord', 'keyboard'],
  ['Harp', 'harp'],
  ['Piano', 'keyboard'],
  ['Klarinette in B', 'clarinet'],
  ['Posaune', 'trombone'],
];

describe('the name of a part', () => {
  it.each(NAMED)('%s means %s', (called, instrument) => {
    expect(instrumentNamed(called)).toBe(instrument);
    expect(namesAnInstrument(called)).toBe(true);
  });

  it.each([
    'Piccolo Trumpet',
    'Bass Trumpet',
    'Basset Horn',
    'Saxophone',
    'Recorder',
    'Bass',
    'Horn in D',
    'Kazoo',
  ])('%s is asked for, not guessed, with its pitches as the file has them', (called) => {
    expect(instrumentNamed(called)).toBeUndefined();
    const { instrument, doubt } = chooseInstrument(called, -2);
    expect(instrument).toBe('in-bb');
    expect(doubt).toContain('--instrument');
  });

  it.each(['', 'Music', 'Part 2', 'Right hand', 'Melody', 'Voice 1', 'Staff-1', 'Solo'])(
    '"%s" names no instrument, and nothing is asked',
    (called) => {
      expect(chooseInstrument(called, 0)).toEqual({ instrument: 'keyboard' });
      expect(chooseInstrument(called, -9)).toEqual({ instrument: 'in-eb' });
    },
  );

  it.each([
    ['Tuba', -26, 'bb-bass'],
    ['Trombone', -14, 'trombone-bb'],
    ['Euphonium', -14, 'euphonium-bb'],
    ['Clarinet', -3, 'clarinet-a'],
  ] as const)(
    '%s %i semitones from what is written is the %s, without a doubt',
    (called, semitones, instrument) => {
      expect(chooseInstrument(called, semitones)).toEqual({ instrument });
    },
  );

  it('never gives an instrument that sounds otherwise than the file says', () => {
    for (let semitones = -26; semitones <= 24; semitones++) {
      for (const [called] of [...NAMED, ['Kazoo'], ['']]) {
        const { instrument, doubt } = chooseInstrument(called!, semitones);
        const fits = INSTRUMENTS[instrument].transposition === semitones;
        expect(fits || doubt !== undefined, `${called} ${semitones}`).toBe(true);
      }
    }
  });

  it('of every instrument, in full or short, means that instrument', () => {
    for (const name of INSTRUMENT_NAMES) {
      expect(instrumentNamed(name)).toBe(name);
      expect(instrumentNamed(INSTRUMENTS[name].name)).toBe(name);
    }
  });
});

describe('General MIDI programs', () => {
  // General MIDI 1 sound set, numbers from 1 as it is published (read; thissideofsanity.com and koo.corpus.cam.ac.uk).
  it.each([
    [1, 'keyboard'],
    [10, 'glockenspiel'],
    [13, 'marimba'],
    [14, 'xylophone'],
    [25, 'guitar'],
    [41, 'violin'],
    [42, 'viola'],
    [43, 'cello'],
    [44, 'double-bass'],
    [47, 'harp'],
    [57, 'trumpet'],
    [58, 'trombone'],
    [59, 'tuba'],
    [61, 'horn'],
    [69, 'oboe'],
    [72, 'clarinet'],
    [74, 'flute'],
  ] as const)('%i is a %s, and is written for it', (program, instrument) => {
    expect(instrumentOfProgram(program - 1)).toBe(instrument);
    expect(programOf(instrument)).toBe(program - 1);
  });

  it.each([49, 53, 62, 75, 81, 128])('%i is no single instrument', (program) => {
    expect(instrumentOfProgram(program - 1)).toBeUndefined();
  });
});
