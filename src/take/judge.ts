// The judgement of a take: its notes as matched, its intervals in time or not, and everything measured on the way.

import type { Alignment } from '../matching/alignment.ts';
import type { Expectation } from '../matching/expectation.ts';
import type { PlayedNote } from '../music/played-note.ts';
import { evennessOf } from './evenness.ts';
import { judgeInterval, timedIntervals } from './intervals.ts';
import { jointsOf } from './joints.ts';
import { onsetTimes } from './onset-times.ts';
import { fitStretch } from './pace.ts';
import type { PedalChange } from './pedal.ts';
import { placementOf } from './placement.ts';
import type { Tolerance } from './tolerance.ts';
import { troublesOf } from './troubles.ts';
import type { TakeVerdict } from './verdict.ts';

export interface JudgeOptions {
  readonly tolerance: Tolerance;
  /** Notes played after the stop, not among `played`. */
  readonly ranOn?: number;
  /** What the sustain pedal did, in the order of time. */
  readonly pedal?: readonly PedalChange[];
}

/** Against a click each interval is held to the tempo asked, in a free step to the take's own fitted pace. */
export function judge(
  expectation: Expectation,
  played: readonly PlayedNote[],
  alignment: Alignment,
  { tolerance, ranOn = 0, pedal = [] }: JudgeOptions,
): TakeVerdict {
  const { onsetMicros, spreadMicros } = onsetTimes(expectation, played, alignment);
  const timed = timedIntervals(expectation, alignment, onsetMicros);
  const even = timed.filter((i) => (expectation.onsets[i.from]!.leanTicks ?? 0) <= 0);
  const own = fitStretch(even);
  const stretch = expectation.pulse === 'click' ? 1 : own;
  const intervals = timed.map((interval) => judgeInterval(interval, expectation, tolerance, stretch));
  const placement = placementOf(expectation, onsetMicros);
  const evenness = evennessOf(intervals.filter((i) => (expectation.onsets[i.from]!.leanTicks ?? 0) <= 0));
  const troubles = troublesOf({
    expectation,
    played,
    alignment,
    intervals,
    spreadMicros,
    placement,
    tolerance,
    ranOn,
  });
  return {
    clean: troubles.length === 0,
    troubles,
    notes: alignment.notes,
    extras: alignment.extras,
    intervals,
    onsetMicros,
    spreadMicros,
    joints: jointsOf(expectation, played, alignment, onsetMicros, pedal),
    ...(placement ? { placement } : {}),
    ...(evenness ? { evenness } : {}),
    pace: 1 / own,
    tolerance,
  };
}
