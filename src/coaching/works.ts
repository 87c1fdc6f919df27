// What there is to work, from the record: every passage that was worked, with what to do in it next.

import { findDrill } from '../drills/catalogue.ts';
import type { DrillSettings } from '../drills/drill.ts';
import { grouped } from '../music/grouped.ts';
import { ROUNDED_BPM } from '../music/tempo.ts';
import type { DayOfPassage } from '../record/day-of-passage.ts';
import { dayOf, type EntryHeading, type EntrySummary } from '../record/entry.ts';
import { dayNumber, dueDay } from './due.ts';
import { type CountedDay, type IntervalProgress, intervalsOf, returnDays, WORST_SHARE } from './progress.ts';
import type { Candidate, Task, Work } from './today.ts';

/** The share of clean takes is told from the latest days that hold so many. */
const LATELY_TAKES = 30;
/** The worst interval is told from the takes of so many of the latest days. */
const LATELY_DAYS = 3;
/** Beats around a bad interval are about so many onsets on each side. */
const AROUND_ONSETS = 4;

/** A passage that was worked, counted. */
export interface WorkedPassage {
  /** Its music's fingerprint, or its name where that is not known (format 1). */
  readonly id: string;
  readonly fingerprint?: string;
  /** As it was called the last time. */
  readonly passage: string;
  readonly takes: number;
  /** Share of complete takes that were clean, 0 to 1; absent without one. */
  readonly cleanShare?: number;
  /** Oldest first. */
  readonly days: readonly WorkedDay[];
}

interface WorkedDay extends CountedDay {
  /** Takes played from their entry to their stop, and how many of them were clean. */
  readonly complete: number;
  readonly clean: number;
}

/** `rows`: oldest first. Passages of which everything was skipped are left out. */
export function workedPassages(rows: readonly DayOfPassage[]): WorkedPassage[] {
  const worked = rows.filter(({ takes }) => takes > 0);
  return [...grouped(worked, ({ fingerprint, passage }) => fingerprint ?? passage)].map(([id, own]) => {
    const days = [...grouped(own, ({ day }) => day)].map(([day, ofDay]) => ({
      day: dayNumber(day),
      ...sums(ofDay),
    }));
    const { fingerprint, passage } = own.at(-1)!;
    const { takes, cleanShare: share } = sums(own);
    return {
      id,
      ...(fingerprint === undefined ? {} : { fingerprint }),
      passage,
      takes,
      ...(share === undefined ? {} : { cleanShare: share }),
      days,
    };
  });
}

function sums(rows: readonly Pick<DayOfPassage, 'takes' | 'complete' | 'clean'>[]): Omit<WorkedDay, 'day'> {
  const sum = (name: 'takes' | 'complete' | 'clean') => rows.reduce((all, row) => all + row[name], 0);
  const [complete, clean] = [sum('complete'), sum('clean')];
  return {
    takes: sum('takes'),
    complete,
    clean,
    ...(complete === 0 ? {} : { cleanShare: clean / complete }),
  };
}

/** What is known of it before its takes are looked at. `by`: the day of its goal, local. */
export function candidateOf(worked: WorkedPassage, by: string | undefined): Candidate {
  const from = latelyFrom(worked);
  const { cleanShare: share } = sums(worked.days.filter(({ day }) => day >= from));
  const due = dueAgain(worked, by);
  return {
    id: worked.id,
    ...(due === undefined ? {} : { dueDay: due }),
    ...(share === undefined ? {} : { cleanShare: share }),
    ...(by === undefined ? {} : { concertDay: dayNumber(by) }),
  };
}

/** The first of the days that tell what to do next: the last three, and more where they hold few takes. */
export function latelyFrom({ days }: WorkedPassage): number {
  let takes = 0;
  let from = days.length;
  while (from > 0 && (takes < LATELY_TAKES || days.length - from < LATELY_DAYS)) {
    from -= 1;
    takes += days[from]!.takes;
  }
  return days[from]!.day;
}

/** When it is due again, with a goal by a day or without; undefined where it was never worked. */
export function dueAgain({ days }: WorkedPassage, by: string | undefined): number | undefined {
  return dueDay(returnDays(days), by === undefined ? undefined : dayNumber(by));
}

/** What is known of a passage besides its takes. */
export interface Known {
  /** The day of its goal, local. */
  readonly by?: string;
  /** Its goal's tempo, or the one that is written. */
  readonly goalBpm?: number;
  /** What the drill of its latest take was told. */
  readonly settings?: DrillSettings;
}

/**
 * What to do next in a passage. `lately`: its takes from `latelyFrom` on, in the order in which they were played.
 * Undefined where all of them were skipped.
 */
export function workOf(
  worked: WorkedPassage,
  lately: readonly EntrySummary[],
  known: Known,
): Work | undefined {
  const tasks = tasksOf(lately, known);
  if (tasks.length === 0) return undefined;
  const { passage, selection } = lately.at(-1)!;
  return { ...candidateOf(worked, known.by), passage, selection, tasks };
}

/** A take from which to go on. */
type LeftTake = Pick<
  EntryHeading,
  'first' | 'last' | 'drill' | 'stepName' | 'tempoBpm' | 'onward' | 'ladder'
>;

/** Drills that a day's plan puts around another: on its worst interval, and in its context. */
const AROUND: readonly string[] = ['widening', 'through'];

/**
 * The take that was left last, from which to go on; undefined where all were skipped. What was played around another drill
 * on its day is not gone on from: after a day by the plan that would always be the last slice.
 */
export function leftAt<Some extends EntryHeading>(takes: readonly Some[]): Some | undefined {
  const played = takes.filter(({ end }) => end !== 'skipped');
  const isAround = (take: Some) =>
    AROUND.includes(take.drill) &&
    played.some(
      (other) =>
        findDrill(other.drill).ok &&
        !AROUND.includes(other.drill) &&
        dayOf(other) === dayOf(take) &&
        other.first <= take.first &&
        other.last >= take.last,
    );
  return played.findLast((take) => !isAround(take));
}

/** Going on where it stopped, the worst interval of the last days, the next tempo, and all of it in its context. */
function tasksOf(takes: readonly EntrySummary[], known: Known): Task[] {
  const last = leftAt(takes);
  if (!last) return [];
  const { first, last: lastOnset, tempoBpm } = last;
  const span = { first, last: lastOnset };
  const days = [...new Set(takes.map(dayOf))].slice(-LATELY_DAYS);
  const lately = takes.filter((take) => days.includes(dayOf(take)));
  const worst = intervalsOf(lately).find(({ troubledShare }) => troubledShare > WORST_SHARE);
  return [
    goOn(last, known),
    ...(worst ? [onWorst(worst, last)] : []),
    ...faster(last, known),
    // One task alone would be the same over and over.
    ...(last.drill === 'through'
      ? []
      : [{ drill: 'through', ...span, tempoBpm, why: { kind: 'context' as const } }]),
  ];
}

/** Where a passage was left, as a task. */
export function goOn(
  { drill, first, last, stepName, tempoBpm, onward, ladder }: LeftTake,
  known: Known,
): Task {
  const task = { drill, first, last, tempoBpm, ...told(known) };
  // A survey is no drill: nobody works its steps.
  if (!findDrill(drill).ok) return { drill: 'landings', first, last, tempoBpm, why: { kind: 'begin' } };
  if (ladder?.by) {
    const { by, startBpm, goalBpm, up, jump, alternate } = ladder;
    return {
      ...task,
      ladder: { by, startBpm, goalBpm, up, jump, alternate },
      // Its goal was held: is it still?
      why:
        onward && ladder.lastStep && tempoBpm >= goalBpm - ROUNDED_BPM
          ? { kind: 'check' }
          : { kind: 'climb', goalBpm },
    };
  }
  return { ...task, why: onward ? { kind: 'check' } : { kind: 'go-on', stepName } };
}

function onWorst({ from, troubledShare }: IntervalProgress, { first, last, tempoBpm }: EntrySummary): Task {
  return {
    drill: 'widening',
    first: Math.max(first, from - AROUND_ONSETS),
    last: Math.min(last, from + 1 + AROUND_ONSETS),
    tempoBpm,
    snag: from,
    why: { kind: 'worst', from, troubledShare },
  };
}

/** What was passed at a tempo under the goal's climbs to it. */
function faster(
  { drill, first, last, tempoBpm, onward, ladder }: EntrySummary,
  { goalBpm, ...known }: Known,
): Task[] {
  if (!onward || ladder || goalBpm === undefined || goalBpm <= tempoBpm || !findDrill(drill).ok) return [];
  // Of drills in a row the last one is not passed yet.
  if (known.settings?.row && known.settings.row.at(-1) !== drill) return [];
  return [
    {
      drill,
      first,
      last,
      tempoBpm,
      ...told(known),
      ladder: { by: 'round', startBpm: tempoBpm, goalBpm, up: 1, jump: false, alternate: false },
      why: { kind: 'faster', goalBpm },
    },
  ];
}

function told({ settings }: Known): Pick<Task, 'settings'> {
  if (!settings) return {};
  const { tempo: _, ...others } = settings;
  return { settings: others };
}
