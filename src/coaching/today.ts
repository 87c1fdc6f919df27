// What to do today: a plan from the record. Slices of about three minutes that go round between passages ([Carter2016]
// Front Psychol 7:1251: three minutes a piece, in turn, did better the next day than twelve in a row where the raters
// saw a difference; [Stambaugh2011] JRME 58:368: the same for speed; [Stambaugh2010] found none), the hardest first, when
// the player is fresh (common practice, no source), and a rest of five minutes after 25 (Klickstein 2009 p. 75).

import type { DrillSettings } from '../drills/drill.ts';
import type { Selection } from '../record/entry.ts';
import type { LadderPlan } from '../record/ladder-plan.ts';

export interface Work {
  /** The passage's fingerprint. */
  readonly id: string;
  readonly passage: string;
  /** Which music of it, as it was asked for. */
  readonly selection: Selection;
  /** The day on which it is due again, whole; absent where it was never worked. */
  readonly dueDay?: number;
  /** Share of complete takes that were clean lately, 0 to 1. */
  readonly cleanShare?: number;
  readonly concertDay?: number;
  /** What can be worked in it, the most urgent first; never empty. */
  readonly tasks: readonly Task[];
}

export interface Task {
  readonly drill: string;
  readonly first: number;
  readonly last: number;
  /** Where it begins, where it climbs. */
  readonly tempoBpm: number;
  /** Absent where it stays at its tempo. */
  readonly ladder?: TaskLadder;
  /** Onset where the bad interval begins, for drills that need one. */
  readonly snag?: number;
  /** What the drill was told the last time. */
  readonly settings?: Omit<DrillSettings, 'tempo'>;
  readonly why: TaskReason;
}

export type TaskLadder = Pick<LadderPlan, 'by' | 'startBpm' | 'goalBpm' | 'up' | 'jump' | 'alternate'>;

type TaskReason =
  /** Where the last sitting stopped. */
  | { readonly kind: 'go-on'; readonly stepName: string }
  | { readonly kind: 'worst'; readonly from: number; readonly troubledShare: number }
  /** It was clean: does it hold? */
  | { readonly kind: 'check' }
  /** Up the ladder, from where it was left. */
  | { readonly kind: 'climb'; readonly goalBpm: number }
  /** It is clean at its tempo, which is not the goal's. */
  | { readonly kind: 'faster'; readonly goalBpm: number }
  /** There have only been run-throughs. */
  | { readonly kind: 'begin' }
  /** With what comes before and after. */
  | { readonly kind: 'context' };

export interface WorkSlice {
  readonly kind: 'work';
  readonly minutes: number;
  readonly work: Work;
  readonly task: Task;
  /** Days overdue, 0 when due today; absent when it is not due and there is time left. */
  readonly overdueDays?: number;
}

export type Slice = WorkSlice | { readonly kind: 'rest'; readonly minutes: number };

const SLICE_MINUTES = 3;
const REST_AFTER_MINUTES = 25;
const REST_MINUTES = 5;
/** So many slices of a passage at the least: fewer are only a look at it. */
const LEAST_SLICES = 2;

/** What a passage is chosen by. */
export type Candidate = Pick<Work, 'id' | 'dueDay' | 'cleanShare' | 'concertDay'>;

/** The passages that come into the plan, the most urgent first. */
export function chosenForToday<Some extends Candidate>(
  works: readonly Some[],
  today: number,
  minutes: number,
): Some[] {
  const due = works.filter(({ dueDay }) => dueDay === undefined || dueDay <= today);
  return (due.length > 0 ? due : works)
    .toSorted((a, b) => urgency(b, today) - urgency(a, today) || (a.cleanShare ?? 0) - (b.cleanShare ?? 0))
    .slice(0, Math.max(1, Math.floor(slotsIn(minutes) / LEAST_SLICES)));
}

function slotsIn(minutes: number): number {
  return Math.max(1, Math.floor(minutes / SLICE_MINUTES));
}

/**
 * Slices that fill the minutes, the rests on top. What is due comes before what is not; of what is due, what is most
 * overdue for its gap and then what is least clean. Never the same passage and task twice in a row.
 */
export function planToday(works: readonly Work[], today: number, minutes: number): Slice[] {
  const slots = slotsIn(minutes);
  const chosen = chosenForToday(works, today, minutes)
    // The hardest when fresh.
    .toSorted((a, b) => (a.cleanShare ?? 0) - (b.cleanShare ?? 0));
  if (chosen.length === 0) return [];
  const slices: Slice[] = [];
  let sinceRest = 0;
  for (let slot = 0; slot < slots; slot++) {
    const work = chosen[slot % chosen.length]!;
    const round = Math.floor(slot / chosen.length);
    const task = taskOf(work, round);
    const before = slices.at(-1);
    if (before?.kind === 'work' && before.work === work && before.task === task) {
      // One passage with one task: it goes on, in one longer slice.
      slices[slices.length - 1] = { ...before, minutes: before.minutes + SLICE_MINUTES };
    } else {
      const overdueDays = work.dueDay === undefined ? undefined : today - work.dueDay;
      slices.push({
        kind: 'work',
        minutes: SLICE_MINUTES,
        work,
        task,
        ...(overdueDays === undefined || overdueDays < 0 ? {} : { overdueDays }),
      });
    }
    sinceRest += SLICE_MINUTES;
    if (sinceRest >= REST_AFTER_MINUTES - SLICE_MINUTES / 2 && slot < slots - 1) {
      slices.push({ kind: 'rest', minutes: REST_MINUTES });
      sinceRest = 0;
    }
  }
  return slices;
}

/** In turn; whether something has held overnight is asked once a day. */
function taskOf({ tasks }: Work, round: number): Task {
  const again = tasks.filter(({ why }) => why.kind !== 'check');
  // One alone would be the same twice in a row.
  if (round < tasks.length || again.length < 2) return tasks[round % tasks.length]!;
  return again[(round - tasks.length) % again.length]!;
}

/** Days overdue, and a concert that is near weighs more. */
function urgency({ dueDay, concertDay }: Candidate, today: number): number {
  const overdue = dueDay === undefined ? 0 : today - dueDay;
  const near = concertDay === undefined || concertDay < today ? 0 : 14 / (1 + concertDay - today);
  return overdue + near;
}
