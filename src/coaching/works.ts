// What there is to work, from the record: every passage that was worked, with what to do in it next.

import { dayOf, type EntrySummary } from '../record/entry.ts';
import { cleanShare } from './clean-tempo.ts';
import { dayNumber, dueDay } from './due.ts';
import type { Goals } from './goal.ts';
import { intervalsOf, practisedTake, returnDays } from './progress.ts';
import type { Task, Work } from './today.ts';

/** The share of clean takes is told from so many of the latest. */
const LATELY_TAKES = 30;
/** An interval that went wrong more often than this is worth a drill of its own. */
export const WORST_SHARE = 0.25;
/** Beats around a bad interval are about so many onsets on each side. */
const AROUND_ONSETS = 4;

/** `takes`: of one player, in the order in which they were played. Passages without a finished take are left out. */
export function worksOf(takes: readonly EntrySummary[], goals: Goals): Work[] {
  const groups = new Map<string, EntrySummary[]>();
  for (const take of takes) {
    const id = take.fingerprint ?? take.passage;
    groups.set(id, [...(groups.get(id) ?? []), take]);
  }
  return [...groups].flatMap(([id, own]) => workOf(id, own, goals[id]?.by) ?? []);
}

function workOf(id: string, takes: readonly EntrySummary[], by: string | undefined): Work | undefined {
  const tasks = tasksOf(takes);
  if (tasks.length === 0) return undefined;
  const concertDay = by === undefined ? undefined : dayNumber(by);
  const due = dueDay(returnDays(takes), concertDay);
  const share = cleanShare(takes.slice(-LATELY_TAKES).map(practisedTake));
  return {
    id,
    passage: takes.at(-1)!.passage,
    selection: takes.at(-1)!.selection,
    ...(due === undefined ? {} : { dueDay: due }),
    ...(share === undefined ? {} : { cleanShare: share }),
    ...(concertDay === undefined ? {} : { concertDay }),
    tasks,
  };
}

/** Going on where it stopped, and the worst interval of the last days. */
function tasksOf(takes: readonly EntrySummary[]): Task[] {
  const last = takes.findLast(({ end }) => end !== 'skipped');
  if (!last) return [];
  const { drill, first, last: lastOnset, stepName, tempoBpm } = last;
  const span = { first, last: lastOnset };
  const days = [...new Set(takes.map(dayOf))].slice(-3);
  const lately = takes.filter((take) => days.includes(dayOf(take)));
  const worst = intervalsOf(lately).find(({ troubledShare }) => troubledShare > WORST_SHARE);
  const goOn: Task = last.onward
    ? { drill, ...span, tempoBpm, why: { kind: 'check' } }
    : { drill, ...span, tempoBpm, why: { kind: 'go-on', stepName } };
  const inContext: Task = { drill: 'through', ...span, tempoBpm, why: { kind: 'context' } };
  // One task alone would be the same over and over.
  if (!worst) return drill === 'through' ? [goOn] : [goOn, inContext];
  const near = {
    first: Math.max(first, worst.from - AROUND_ONSETS),
    last: Math.min(lastOnset, worst.from + 1 + AROUND_ONSETS),
  };
  const { from, troubledShare } = worst;
  const onWorst: Task = {
    drill: 'widening',
    ...near,
    tempoBpm,
    snag: from,
    why: { kind: 'worst', from, troubledShare },
  };
  return [goOn, onWorst, ...(drill === 'through' ? [] : [inContext])];
}
