// A passage in 4/4 for the tests of coaching: bars of eighths, or of what is asked for.

import type { Onset } from '../../src/music/onset.ts';
import type { Passage } from '../../src/music/passage.ts';
import { spellPitch } from '../../src/music/pitch.ts';
import { type Span, wholeSpan } from '../../src/music/span.ts';
import { TICKS_PER_QUARTER } from '../../src/music/ticks.ts';

const BAR = 4 * TICKS_PER_QUARTER;

/** A run of equal notes up and down: `perBeat` to the quarter. */
export function runInFour(count: number, perBeat = 2): Span {
  const durationTicks = TICKS_PER_QUARTER / perBeat;
  const steps = [60, 62, 64, 65, 67, 69, 71, 72, 71, 69, 67, 65, 64, 62];
  const onsets = Array.from({ length: count }, (_, i): Onset => {
    const pitch = steps[i % steps.length]!;
    const note = { pitch, spelling: spellPitch(pitch), durationTicks, part: 0, staff: 1, voice: 1 };
    return { tick: i * durationTicks, notes: [note] };
  });
  const endTick = Math.ceil((count * durationTicks) / BAR) * BAR;
  const bars = Array.from({ length: endTick / BAR }, (_, i) => ({
    number: i + 1,
    startTick: i * BAR,
    durationTicks: BAR,
    meter: { count: 4, unit: 4 },
    pickup: false,
  }));
  const passage: Passage = {
    name: 'mooring-run',
    title: 'Mooring Run',
    tempo: { bpm: 96, beatTicks: TICKS_PER_QUARTER },
    keys: [{ tick: 0, fifths: 0, mode: 'major' }],
    tempoChanges: [],
    bars,
    parts: [{ name: 'flute', instrument: 'flute' }],
    rehearsalMarks: [],
    onsets,
    endTick,
  };
  return wholeSpan(passage);
}
