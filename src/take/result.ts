// What a take was: the one place where it is decided, for takes that are played now, kept ones and recordings alike.

import { align } from '../matching/align.ts';
import type { Expectation } from '../matching/expectation.ts';
import type { Slip } from '../matching/follow.ts';
import type { PlayedNote } from '../music/played-note.ts';
import type { PlayerEvent } from '../music/player-event.ts';
import { type JudgeOptions, judge } from './judge.ts';
import { hearingOf, type LineTake, playedIn } from './line-take.ts';
import { pedalChanges } from './pedal.ts';
import { hasSlipped, type Take } from './take.ts';
import { expectationOf } from './terms.ts';
import type { TakeVerdict } from './verdict.ts';

/** Where a take was stopped before its run's own stop. */
export interface EarlyStop {
  /** Beat boundary at which the run was cut after a slip. */
  readonly cutTick?: number;
  /** Whether anybody slipped: then who stopped there has not missed the rest. */
  readonly slipped: boolean;
}

export interface TakeResult {
  readonly verdict: TakeVerdict;
  /** The notes that were judged: the verdict's indexes point into them. */
  readonly played: readonly PlayedNote[];
  /** Right in everything, and played to the run's own stop: what the gate counts, and nothing else is clean. */
  readonly clean: boolean;
  /** The slip of this player for which the run was cut. */
  readonly stoppedFor?: Slip;
}

/** By player. Worked out once for each take. */
export function takeResults(take: Take): readonly TakeResult[] {
  const known = results.get(take);
  if (known) return known;
  const found = take.lines.map((line) => lineResult(line, earlyStopOf(take)));
  results.set(take, found);
  return found;
}

const results = new WeakMap<Take, readonly TakeResult[]>();

export function earlyStopOf(take: Take): EarlyStop {
  return { ...(take.cutTick === undefined ? {} : { cutTick: take.cutTick }), slipped: hasSlipped(take) };
}

/** After a slip only what lies before the stop is judged. */
export function lineResult(line: LineTake, stop: EarlyStop): TakeResult {
  const { follower, ranOn } = hearingOf(line);
  const whole = expectationOf(line.terms);
  const expectation =
    stop.slipped && follower ? { ...whole, onsets: whole.onsets.slice(0, reached(line, stop) + 1) } : whole;
  const { tolerance } = line.terms;
  const result = judgedNotes(expectation, playedIn(line), line.events, { tolerance, ranOn });
  const cut = stop.cutTick !== undefined;
  const slip = cut ? follower?.slip : undefined;
  return { ...result, clean: result.clean && !cut, ...(slip ? { stoppedFor: slip } : {}) };
}

/** Notes with no click, lead-in or stop of ours, as in a recording: all of them are the take. */
export function judgedNotes(
  expectation: Expectation,
  played: readonly PlayedNote[],
  events: readonly PlayerEvent[],
  options: Omit<JudgeOptions, 'pedal'>,
): TakeResult {
  const pedal = pedalChanges(events);
  const verdict =
    expectation.onsets.length === 0
      ? restVerdict(options)
      : judge(expectation, played, align(expectation, played), { ...options, pedal });
  return { verdict, played, clean: verdict.clean };
}

/** Of a player who rests through the run: every note is one too many. */
function restVerdict({ tolerance, ranOn: notes = 0 }: Omit<JudgeOptions, 'pedal'>): TakeVerdict {
  return {
    clean: notes === 0,
    troubles: notes === 0 ? [] : [{ kind: 'ran-on', notes }],
    notes: [],
    extras: [],
    intervals: [],
    onsetMicros: [],
    spreadMicros: [],
    joints: [],
    pace: 1,
    tolerance,
  };
}

/** Index of the last onset that was tried before the stop: a player who stops at the slip has not missed the rest. */
function reached(line: LineTake, { cutTick }: EarlyStop): number {
  const { run, line: expected } = line.terms;
  const { follower } = hearingOf(line);
  const stopTick = cutTick ?? run.stopTick;
  const tried = (follower?.committed ?? []).flatMap((verdict) =>
    verdict?.played !== undefined ? [verdict.onset] : [],
  );
  const last = Math.max(0, follower?.slip?.onset ?? 0, ...tried);
  const before = expected.onsets.findLastIndex((onset) => onset.tick <= stopTick);
  return Math.min(last, Math.max(0, before));
}
