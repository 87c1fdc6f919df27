// An entry as a session would keep it: a beat of two notes, played.

import type { Entry } from '../../src/record/entry.ts';
import type { KeptPlaying } from '../../src/take/fold.ts';
import { TOLERANCES } from '../../src/take/tolerance.ts';

export function madeEntry(order: number, more: Partial<Entry> = {}): Entry {
  return {
    format: 2,
    sitting: 'monday',
    order,
    date: '2026-11-23T19:00:00.000+01:00',
    passage: 'harbour-reel',
    fingerprint: '0123456789abcdef0123456789abcdef',
    selection: {},
    first: 1,
    last: 8,
    drill: 'landings',
    step: 0,
    stepName: 'beats 1 to 2',
    stepFirst: 1,
    stepLast: 2,
    tempoBpm: 72,
    toleranceName: 'steady',
    player: 'Ilse',
    source: 'Tidewrack keys',
    end: 'stopped',
    clean: true,
    counted: true,
    onward: false,
    judge: 2,
    settings: { tempo: { bpm: 72, beatTicks: 10080 } },
    playing: madePlaying(more.tempoBpm ?? 72),
    gate: { cleanInARow: 1, passes: 3 },
    sentence: 'Clean.',
    verdict: {
      clean: true,
      slips: [],
      intervals: [{ from: 1, to: 2, expectedMicros: 416_667, deviationMicros: 1200, clean: true }],
      pace: 1,
    },
    ...more,
  };
}

function madePlaying(bpm: number): KeptPlaying {
  const note = (letter: 'C' | 'D', pitch: number) => ({
    pitch,
    spelling: { letter, alter: 0, octave: 4 },
    durationTicks: 5040,
    part: 0,
    staff: 1,
    voice: 1,
  });
  return {
    terms: {
      run: {
        name: 'beats 1 to 2',
        tempo: { bpm, beatTicks: 10080 },
        pulse: 'click',
        startTick: 0,
        stopTick: 5040,
        landing: true,
        joinsNext: true,
        leadInBeats: 4,
        holdBeats: 2,
        endTick: 25200,
        clicks: [{ tick: 0, accent: 'bar' }],
        beats: [0, 10080],
      },
      line: {
        parts: [0],
        transposition: 0,
        onsets: [
          { tick: 0, durationTicks: 5040, notes: [note('C', 60)], number: 1 },
          { tick: 5040, durationTicks: 5040, notes: [note('D', 62)], number: 2 },
        ],
      },
      tolerance: TOLERANCES.steady,
      zeroMicros: 8_000_000,
      lagMicros: 0,
      shiftSemitones: 0,
      opensMicros: 7_600_000,
    },
    events: [
      { type: 'note-on', at: 8_001_000, pitch: 60, velocity: 70, channel: 1 },
      { type: 'note-off', at: 8_400_000, pitch: 60, channel: 1 },
    ],
    untilMicros: 9_500_000,
    stop: { slipped: false },
  };
}
