// The judgement of a take: its notes as matched, its intervals in time or not, and everything measured on the way.

import type { Alignment } from '../matching/alignment.ts';
import type { Expectation } from '../matching/expectation.ts';
import type { PlayedNote } from '../music/played-note.ts';
import { evennessOf } from './evenness.ts';
import { handsOf } from './hands.ts';
import { judgeInterval, timedIntervals } from './intervals.ts';
import { jointsOf } from './joints.ts';
import { onsetTimes } from './onset-times.ts';
import { fitStretch } from './pace.ts';
import type { PedalChange } from './pedal.ts';
import { placementOf } from './placement.ts';
import { handIntervals, momentsOf, togetherOf } from './strands.ts';
import { timingOf } from './timing.ts';
import type { Tolerance } from './tolerance.ts';
import { troublesOf } from './troubles.ts';
import type { TakeVerdict } from './verdict.ts';

export interface JudgeOptions {
  readonly tolerance: Tolerance;
  /** Notes played after the stop, not among `played`. */
  readonly ranOn?: number;
  /** Where this player usually stands on the click, positive = late; unknown without. */
  readonly usualLagMicros?: number;
  /** What the sustain pedal did, in the order of time. */
  readonly pedal?: readonly PedalChange[];
}

/** Against a click each interval is held to the tempo asked, in a free step to the take's own fitted pace. */
export function judge(
  expectation: Expectation,
  played: readonly PlayedNote[],
  alignment: Alignment,
  { tolerance, ranOn = 0, pedal = [], usualLagMicros }: JudgeOptions,
): TakeVerdict {
  const hands = handsOf(expectation);
  const { onsetMicros, spreadMicros } = onsetTimes(expectation, played, alignment, hands);
  const timed = timedIntervals(expectation, alignment, onsetMicros);
  const even = timed.filter((i) => (expectation.onsets[i.from]!.leanTicks ?? 0) <= 0);
  const own = fitStretch(even);
  const stretch = expectation.pulse === 'click' ? 1 : own;
  const intervals = timed.map((interval) => judgeInterval(interval, expectation, tolerance, stretch));
  const placement = placementOf(expectation, onsetMicros);
  const evenness = evennessOf(intervals.filter((i) => (expectation.onsets[i.from]!.leanTicks ?? 0) <= 0));
  const moments = momentsOf(expectation, played, alignment, onsetMicros, hands);
  const together = hands ? togetherOf(moments) : undefined;
  const timing = timingOf({
    expectation,
    moments,
    intervals,
    handIntervals: handIntervals(moments, slippedBefore(alignment)).map((interval) =>
      judgeInterval(interval, expectation, tolerance, stretch),
    ),
    placement,
    tolerance,
    usualLagMicros,
    stretch: own,
  });
  const troubles = troublesOf({
    expectation,
    played,
    alignment,
    timing,
    spreadMicros,
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
    ...(together ? { together } : {}),
    pace: 1 / own,
    tolerance,
  };
}

/** Onsets before which a note was added or given up. */
function slippedBefore({ extras }: Alignment): Set<number> {
  return new Set(extras.filter(({ kind }) => kind !== 'ornament').map(({ before }) => before));
}
