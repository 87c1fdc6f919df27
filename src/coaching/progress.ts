// Whether it gets better: folds over the record's takes of one passage. Nothing is kept but the takes.

import type { OnsetRange } from '../drills/step-onset.ts';
import { grouped } from '../music/grouped.ts';
import { dayOf, type EntrySummary, isComplete } from '../record/entry.ts';
import { mean, sampleSd } from '../statistics.ts';
import { type CleanTempo, cleanShare, cleanTempo, type PractisedTake } from './clean-tempo.ts';
import { dayNumber, type ReturnDay } from './due.ts';

export interface Progress {
  readonly takes: number;
  /** Share of complete takes that were clean, 0 to 1; absent without one. */
  readonly cleanShare?: number;
  readonly days: readonly DayOfPractice[];
  /** The intervals that went wrong most, the worst first. */
  readonly intervals: readonly IntervalProgress[];
  /** They are told from the latest so many takes; absent where from all. */
  readonly intervalTakes?: number;
  readonly drills: readonly DrillPractice[];
  readonly skipped: readonly SkippedStep[];
}

/** What was done on a day, counted. */
export interface CountedDay {
  /** Calendar day, whole. */
  readonly day: number;
  /** Those that were skipped do not count. */
  readonly takes: number;
  /** Share of complete takes that were clean, 0 to 1; absent without one. */
  readonly cleanShare?: number;
}

export interface DayOfPractice extends CleanTempo, CountedDay {}

export interface IntervalProgress {
  /** Onset number where it begins. */
  readonly from: number;
  /** Takes that held it. */
  readonly takes: number;
  /** Share of them in which it was short or long, or its second note went wrong, 0 to 1. */
  readonly troubledShare: number;
  /** The same in the earlier and in the later half of the takes. */
  readonly earlierShare: number;
  readonly laterShare: number;
  /** Mean and standard deviation of its deviations, where it was timed; positive = too long. */
  readonly meanMicros?: number;
  readonly spreadMicros?: number;
}

interface DrillPractice {
  readonly drill: string;
  readonly takes: number;
  readonly cleanTakes: number;
  readonly fastestCleanBpm?: number;
}

interface SkippedStep {
  readonly drill: string;
  readonly stepName: string;
  readonly times: number;
}

/** What of a take progress is told from. */
export const PROGRESS_FIELDS = [
  'date',
  'first',
  'last',
  'drill',
  'stepName',
  'stepFirst',
  'stepLast',
  'tempoBpm',
  'end',
  'clean',
] as const;
export type ProgressTake = Pick<EntrySummary, (typeof PROGRESS_FIELDS)[number]>;

/** What of a take tells what went wrong in it. */
export const FOUND_FIELDS = ['date', 'end', 'verdict'] as const;
export type FoundTake = Pick<EntrySummary, (typeof FOUND_FIELDS)[number]>;

/** Intervals are told from so many takes, the latest: what went wrong years ago is not what goes wrong. */
export const INTERVAL_TAKES = 1000;

/** An interval that went wrong more often than this is worth a drill of its own. */
export const WORST_SHARE = 0.25;

/** Fewer takes than this say nothing of an interval. */
const LEAST_INTERVAL_TAKES = 2;

/** `takes`: of one passage, in the order in which they were played; `judged`: the same, or no more than the latest. */
export function progressOf(
  takes: readonly ProgressTake[],
  judged: readonly FoundTake[],
  range: OnsetRange,
): Progress {
  const played = takes.filter(isPlayed);
  const lately = judged.slice(-INTERVAL_TAKES);
  const practised = played.map(practisedTake);
  const days = [...grouped(practised, ({ day }) => day)].sort(([a], [b]) => a - b);
  const share = cleanShare(practised);
  return {
    takes: played.length,
    ...(share === undefined ? {} : { cleanShare: share }),
    // A day on which not every interval was clean has no tempo in pieces.
    days: days.map(([day, own]) => {
      const ownShare = cleanShare(own);
      return {
        day,
        ...cleanTempo(own, range),
        takes: own.length,
        ...(ownShare === undefined ? {} : { cleanShare: ownShare }),
      };
    }),
    intervals: intervalsOf(lately.filter(isPlayed)),
    ...(lately.length < takes.length ? { intervalTakes: lately.length } : {}),
    drills: drillsOf(played),
    skipped: skippedOf(takes),
  };
}

function isPlayed({ end }: Pick<ProgressTake, 'end'>): boolean {
  return end !== 'skipped';
}

/** A take covers the whole span where the record does not say which onsets its step had (format 1). */
export function practisedTake(take: ProgressTake): PractisedTake {
  return {
    day: dayNumber(dayOf(take)),
    tempoBpm: take.tempoBpm,
    clean: take.clean,
    complete: isComplete(take),
    first: take.stepFirst ?? take.first,
    last: take.stepLast ?? take.last,
  };
}

/** The days on which a passage was worked; one held when at least half of its complete takes were clean. */
export function returnDays(days: readonly CountedDay[]): ReturnDay[] {
  return days.map(({ day, cleanShare: share }) => ({ day, held: (share ?? 0) >= 0.5 }));
}

export function intervalsOf(takes: readonly Pick<FoundTake, 'verdict'>[]): IntervalProgress[] {
  const seen = new Map<number, PlayedInterval[]>();
  /** The interval in a take: where it is played several times there, the last one counts. */
  const played = (from: number, take: number): PlayedInterval => {
    const all = seen.get(from) ?? [];
    if (all.length === 0) seen.set(from, all);
    const last = all.at(-1);
    if (last?.take === take) return last;
    const interval = { take, troubled: false };
    all.push(interval);
    return interval;
  };
  for (const [take, { verdict }] of takes.entries()) {
    for (const { from, to, clean, deviationMicros } of verdict?.intervals ?? []) {
      if (to !== from + 1) continue;
      const interval = played(from, take);
      interval.troubled = !clean;
      interval.micros = deviationMicros;
    }
    // The interval before a slip counts: it led there.
    for (const { onset } of verdict?.slips ?? []) if (onset !== 1) played(onset - 1, take).troubled = true;
  }
  return [...seen]
    .filter(([, all]) => all.length >= LEAST_INTERVAL_TAKES)
    .map(([from, all]) => intervalProgress(from, all))
    .sort((a, b) => b.troubledShare * b.takes - a.troubledShare * a.takes || a.from - b.from);
}

/** An interval in a take that held it. */
interface PlayedInterval {
  /** The take's index. */
  readonly take: number;
  troubled: boolean;
  /** Its deviation; absent where it was not timed. */
  micros?: number;
}

/** `all`: in the order of the takes. Plain loops: a class's returns have millions of intervals. */
function intervalProgress(from: number, all: readonly PlayedInterval[]): IntervalProgress {
  const half = all.length >> 1;
  const known: number[] = [];
  let earlier = 0;
  let later = 0;
  for (const [i, { troubled, micros }] of all.entries()) {
    if (troubled && i < half) earlier += 1;
    else if (troubled) later += 1;
    if (micros !== undefined) known.push(micros);
  }
  const timed =
    known.length < LEAST_INTERVAL_TAKES ? {} : { meanMicros: mean(known), spreadMicros: sampleSd(known) };
  return {
    from,
    takes: all.length,
    troubledShare: (earlier + later) / all.length,
    earlierShare: earlier / half,
    laterShare: later / (all.length - half),
    ...timed,
  };
}

function drillsOf(takes: readonly ProgressTake[]): DrillPractice[] {
  return [...new Set(takes.map(({ drill }) => drill))].map((drill) => {
    const own = takes.filter((take) => take.drill === drill);
    const clean = own.filter((take) => take.clean);
    const fastest = clean.length > 0 ? Math.max(...clean.map(({ tempoBpm }) => tempoBpm)) : undefined;
    return {
      drill,
      takes: own.length,
      cleanTakes: clean.length,
      ...(fastest === undefined ? {} : { fastestCleanBpm: fastest }),
    };
  });
}

function skippedOf(takes: readonly ProgressTake[]): SkippedStep[] {
  const counts = new Map<string, SkippedStep>();
  for (const { end, drill, stepName } of takes) {
    if (end !== 'skipped') continue;
    const key = JSON.stringify([drill, stepName]);
    counts.set(key, { drill, stepName, times: (counts.get(key)?.times ?? 0) + 1 });
  }
  return [...counts.values()].sort((a, b) => b.times - a.times);
}
