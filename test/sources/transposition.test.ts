// Transposition of instruments: intervals read in orchestration handbooks' summaries (orchestrationresources.com) and
// MusicXML 4.0's own example of a clarinet in B flat; ranges' low ends from memory with high confidence.

import { describe, expect, it } from 'vitest';
import { INSTRUMENTS, type InstrumentName } from '../../src/music/instrument.ts';

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

describe('transposing instruments', () => {
  it.each(SOUNDS)('%s: written C5 sounds %i', (name, sounding) => {
    expect(72 + INSTRUMENTS[name].transposition).toBe(sounding);
  });

  it.each(LOWS)('%s: lowest written %i sounds %i', (name, written, sounding) => {
    expect(INSTRUMENTS[name].lowest).toBe(written);
    expect(written + INSTRUMENTS[name].transposition).toBe(sounding);
  });
});
