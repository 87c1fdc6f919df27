// A bare step of equal eighths for sources to play: landing on the last, held two beats.

import type { Line, Run } from '../../src/drills/step.ts';
import { spellPitch } from '../../src/music/pitch.ts';
import { eighthsOf, QUARTER } from './music-for-models.ts';

export function eighthStep(pitches: readonly number[], eighthMicros = 250_000): { run: Run; line: Line } {
  const onsets = pitches.map((pitch, i) => ({
    tick: (i * QUARTER) / 2,
    durationTicks: QUARTER / 2,
    notes: [{ pitch, spelling: spellPitch(pitch), durationTicks: QUARTER / 2, part: 0, staff: 1, voice: 1 }],
    number: i + 1,
  }));
  const run: Run = {
    name: 'a line of eighths',
    tempo: eighthsOf(eighthMicros),
    pulse: 'click',
    startTick: 0,
    stopTick: onsets.at(-1)!.tick,
    landing: true,
    joinsNext: false,
    leadInBeats: 4,
    holdBeats: 2,
    endTick: onsets.at(-1)!.tick + 2 * QUARTER,
    clicks: [],
    beats: [],
  };
  return { run, line: { parts: [0], transposition: 0, onsets } };
}
