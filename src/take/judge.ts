// The judgement of a take: its notes as matched, its intervals in time or not, and everything measured on the way.

import type { Alignment } from '../matching/alignment.ts';
import type { Expectation } from '../matching/expectation.ts';
import type { PlayedNote } from '../music/played-note.ts';
import { evennessOf } from './evenness.ts';
import { handsOf } from './hands.ts';
import { judgeInterval, timedIntervals } from './intervals.ts';
import { jointsOf } from './joints.ts';
import type { JudgeOptions } from './judge-options.ts';
import { onsetTimes } from './onset-times.ts';
import { countedFrom } from './ornament-times.ts';
import { fitStretch, type TimedInterval } from './pace.ts';
import { placementOf } from './placement.ts';
import { handIntervals, momentsOf, togetherOf } from './strands.ts';
import { timingOf } from './timing.ts';
import { sendsOneLevel, touchOf } from './touch.ts';
import { clippedLanding, isHoldJudged, troublesOf } from './troubles.ts';
import type { TakeVerdict, Trouble } from './verdict.ts';

/** Against a click each interval is held to the tempo asked, in a free step to the take's own fitted pace. */
export function judge(
  expectation: Expectation,
  played: readonly PlayedNote[],
  alignment: Alignment,
  options: JudgeOptions,
): TakeVerdict {
  const { tolerance, pedal = [], usualLagMicros, breath } = options;
  const hands = handsOf(expectation);
  const counted = countedFrom(expectation, played, alignment);
  const { onsetMicros, spreadMicros } = onsetTimes(expectation, counted, alignment, hands);
  const timed = timedIntervals(expectation, alignment, onsetMicros);
  const even = timed.filter((i) => (expectation.onsets[i.from]!.leanTicks ?? 0) <= 0);
  const own = fitStretch(even);
  const stretch = expectation.pulse === 'click' ? 1 : own;
  const intervals = timed.map((interval) => {
    const short = expectation.pulse === 'free' && even.length <= SHORT_LAP;
    const pace = short ? paceOfOthers(even, interval, options.usualStretch ?? own) : stretch;
    return judgeInterval(interval, expectation, tolerance, pace);
  });
  const placement = placementOf(expectation, onsetMicros);
  // Measured against the take's own pace as a whole, also where the intervals of a short lap are held to another pace.
  // Two notes that were swapped say nothing of it.
  const about = even
    .filter(({ playedMicros }) => playedMicros > 0)
    .map((interval) => judgeInterval(interval, expectation, tolerance, stretch));
  const evenness = evennessOf(about);
  const moments = momentsOf(expectation, counted, alignment, onsetMicros, hands);
  const together = hands ? togetherOf(moments) : undefined;
  const timing = timingKnown(alignment, expectation, options, () =>
    timingOf({
      expectation,
      moments,
      intervals,
      handIntervals: handIntervals(moments, slippedBefore(alignment)).map((interval) => ({
        ...judgeInterval(interval, expectation, tolerance, stretch),
        hand: interval.hand,
      })),
      placement,
      tolerance,
      usualLagMicros,
      stretch: own,
    }),
  );
  const touched = { expectation, played, alignment, hands, tolerance, breath };
  const touch = touchOf(touched);
  const troubles = troublesOf({
    expectation,
    played,
    alignment,
    timing,
    spreadMicros,
    onsetMicros,
    stretch: own,
    touch,
    options,
  });
  const [letGo] = isHoldJudged(options) ? [] : clippedLanding({ expectation, played, alignment, options });
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
    ...(touch ? { touch } : {}),
    ...(letGo ? { letGo } : {}),
    ...(options.evenTouch && sendsOneLevel(touched) ? { touchUnknown: true as const } : {}),
    pace: 1 / own,
    tolerance,
  };
}

/** Of the same match the timing is worked out once: what came after it, a release or a breath, changes nothing. */
function timingKnown(
  alignment: Alignment,
  { tempo, zeroMicros, onsets }: Expectation,
  { tolerance, usualLagMicros, usualStretch }: JudgeOptions,
  work: () => readonly Trouble[],
): readonly Trouble[] {
  const by = [tempo.bpm, tempo.beatTicks, zeroMicros, onsets.length, tolerance, usualLagMicros, usualStretch];
  const known = timings.get(alignment);
  if (known?.by.every((one, i) => one === by[i])) return known.timing;
  const timing = work();
  timings.set(alignment, { by, timing });
  return timing;
}

const timings = new WeakMap<
  Alignment,
  { readonly by: readonly unknown[]; readonly timing: readonly Trouble[] }
>();

/** With more intervals than this no single one bends the fitted pace. */
const SHORT_LAP = 8;

/**
 * The pace of all intervals but one. In a short lap the fitted pace would take half of a fault on itself: two intervals
 * of 249 and 307 ms would both be 29 ms from their middle. A single one is held to the laps before.
 */
function paceOfOthers(even: readonly TimedInterval[], one: TimedInterval, usual: number): number {
  const others = even.filter((interval) => interval.from !== one.from);
  return others.length === 0 ? usual : fitStretch(others);
}

/** Onsets before which a note was added or given up. */
function slippedBefore({ extras }: Alignment): Set<number> {
  return new Set(extras.filter(({ kind }) => kind !== 'ornament').map(({ before }) => before));
}
