// Transposition of instruments: intervals read in orchestration handbooks' summaries (orchestrationresources.com) and
// MusicXML 4.0's own example of a clarinet in B flat; ranges' low ends from memory with high confidence. The table of the
// whole band and orchestra is read in the sources that src/music/instrument.ts names, each interval in words.

import { describe, expect, it } from 'vitest';
import { INSTRUMENT_NAMES, INSTRUMENTS, type InstrumentName, SOURCES } from '../../src/music/instrument.ts';

/** Sounding pitch of written C5 (72). */
const SOUNDS: readonly [InstrumentName, number][] = [
  ['flute', 72],
  ['piccolo', 84],
  ['oboe', 72],
  ['english-horn', 65],
  ['clarinet', 70],
  ['clarinet-a', 69],
  ['clarinet-eb', 75],
  ['bass-clarinet', 58],
  ['soprano-sax', 70],
  ['alto-sax', 63],
  ['tenor-sax', 58],
  ['baritone-sax', 51],
  ['trumpet', 70],
  ['horn', 65],
  ['descant-recorder', 84],
];

/** Lowest written note and what it sounds. */
const LOWS: readonly [InstrumentName, number, number][] = [
  ['clarinet', 52, 50],
  ['clarinet-a', 52, 49],
  ['clarinet-eb', 52, 55],
  ['soprano-sax', 58, 56],
  ['alto-sax', 58, 49],
  ['tenor-sax', 58, 44],
  ['trumpet', 54, 52],
  ['horn', 42, 35],
  ['bassoon', 34, 34],
];

/** As the sources say it, in semitones from written to sounding. */
const IN_WORDS: Readonly<Record<string, number>> = {
  'as it reads': 0,
  'an octave higher': 12,
  'two octaves higher': 24,
  'an octave lower': -12,
  'a major second lower': -2,
  'a fourth lower': -5,
  'a perfect fifth lower': -7,
  'a major sixth lower': -9,
  'a major ninth lower': -14,
  'an octave and a major sixth lower': -21,
  'two octaves and a major second lower': -26,
};

const READ: readonly [source: string, instrument: InstrumentName, says: string][] = [
  ['C', 'violin', 'as it reads'],
  ['C', 'viola', 'as it reads'],
  ['C', 'cello', 'as it reads'],
  ['C', 'double-bass', 'an octave lower'],
  ['C', 'alto-clarinet', 'a major sixth lower'],
  ['C', 'contrabassoon', 'an octave lower'],
  ['C', 'trumpet-c', 'as it reads'],
  ['C', 'trombone', 'as it reads'],
  ['C', 'baritone-horn-c', 'as it reads'],
  ['C', 'baritone-horn', 'a major ninth lower'],
  ['C', 'tuba', 'as it reads'],
  ['O', 'alto-flute', 'a fourth lower'],
  ['O', 'cornet', 'a major second lower'],
  ['O', 'eb-bass', 'an octave and a major sixth lower'],
  ['O', 'bb-bass', 'two octaves and a major second lower'],
  ['L', 'bass-flute', 'an octave lower'],
  ['L', 'sopranino-recorder', 'an octave higher'],
  ['L', 'flugelhorn', 'a major second lower'],
  ['L', 'guitar', 'an octave lower'],
  ['L', 'bass-guitar', 'an octave lower'],
  ['L', 'celesta', 'an octave higher'],
  ['L', 'glockenspiel', 'two octaves higher'],
  ['L', 'xylophone', 'an octave higher'],
  ['L', 'accordion', 'as it reads'],
  ['R', 'euphonium', 'as it reads'],
  ['R', 'vibraphone', 'as it reads'],
  ['R', 'marimba', 'as it reads'],
  ['R', 'harp', 'as it reads'],
];

describe('transposing instruments', () => {
  it.each(READ)('source %s: the %s sounds %s', (source, name, says) => {
    expect(INSTRUMENTS[name].transposition).toBe(IN_WORDS[says]);
    expect(INSTRUMENTS[name].source[0]).toBe(source);
  });

  it('have a source each, or are marked as from memory; what is read is checked here', () => {
    const checked = new Set<string>([...READ.map(([, name]) => name), ...SOUNDS.map(([name]) => name)]);
    for (const name of INSTRUMENT_NAMES) {
      const { source, lowest, highest } = INSTRUMENTS[name];
      for (const letter of source.split(' ')) expect(SOURCES, name).toHaveProperty([letter]);
      expect(source.split(' '), name).toHaveLength(2);
      if ('COLR'.includes(source[0]!)) expect(checked, name).toContain(name);
      expect(highest - lowest, name).toBeGreaterThan(11);
    }
  });

  it.each(SOUNDS)('%s: written C5 sounds %i', (name, sounding) => {
    expect(72 + INSTRUMENTS[name].transposition).toBe(sounding);
  });

  it.each(LOWS)('%s: lowest written %i sounds %i', (name, written, sounding) => {
    expect(INSTRUMENTS[name].lowest).toBe(written);
    expect(written + INSTRUMENTS[name].transposition).toBe(sounding);
  });
});
