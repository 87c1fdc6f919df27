// The clicks that one player, or a whole section, plays along with to be calibrated.

import { CALIBRATION_CLICKS } from '../coaching/calibration.ts';
import type { PlayedIn, PlayInSettings } from '../devices/play-in.ts';
import type { StepOnset } from '../drills/step.ts';
import { TICKS_PER_QUARTER } from '../music/ticks.ts';

/** Slow enough that a late note is not taken for the next click's, quick enough that players stay with it. */
export const CALIBRATION_BPM = 80;
const METER = { count: 4, unit: 4 } as const;

/** A calibration on the simulated clock that has not ended by then never will. */
export const LONGEST_FAST_MICROS = 3_600_000_000;

/** A bar is counted, then a note is awaited on each click. */
export function clicksToPlay(bpm: number): PlayInSettings {
  return {
    tempo: { bpm, beatTicks: TICKS_PER_QUARTER },
    meter: METER,
    bars: CALIBRATION_CLICKS / METER.count,
    onsets: oneOnEachClick(),
  };
}

/** When the clicks sounded on which a note was awaited, microseconds. */
export function clicksPlayed({ clicks, zeroMicros }: PlayedIn): number[] {
  return clicks
    .map(({ atMicros }) => atMicros)
    .filter((at) => at >= zeroMicros)
    .slice(0, CALIBRATION_CLICKS);
}

/** What a simulated player plays: middle C on each click. */
function oneOnEachClick(): StepOnset[] {
  return Array.from({ length: CALIBRATION_CLICKS }, (_, i) => ({
    tick: i * TICKS_PER_QUARTER,
    durationTicks: TICKS_PER_QUARTER / 2,
    number: i + 1,
    notes: [
      {
        pitch: 60,
        spelling: { letter: 'C', alter: 0, octave: 4 },
        durationTicks: TICKS_PER_QUARTER / 2,
        part: 0,
        staff: 1,
        voice: 1,
      },
    ],
  }));
}
