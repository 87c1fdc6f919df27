// In how many takes something went wrong on the way from one onset to the next. The interval that leads to a slip
// counts, for that is where the fingers were late or lost; the slip itself is only where it is heard.

import type { ExpectedOnset } from '../matching/expectation.ts';
import type { PlayedNote } from '../music/played-note.ts';
import { median } from '../statistics.ts';
import type { TakeVerdict } from '../take/verdict.ts';
import type { SnagKind } from './difficulty.ts';
import type { IntervalFigures, SurveyTake } from './interval-figures.ts';

/** Kinds that are counted, not measured. */
export const SLIP_WORDS = [
  'hesitant',
  'wrong notes',
  'missed notes',
  'extra notes',
  'blips',
  'restarts',
] as const satisfies readonly SnagKind[];

export type SlipWord = (typeof SLIP_WORDS)[number];

export interface SlipCounts {
  /** Takes that came so far. */
  readonly takes: number;
  /** Takes with any slip here; half a take where it may just as well have been at the neighbour. */
  readonly any: number;
  readonly kinds: ReadonlyMap<SlipWord, number>;
}

/** One for each interval, by the index of the onset where it begins. */
export function slipCounts(takes: readonly SurveyTake[], figures: readonly IntervalFigures[]): SlipCounts[] {
  const seen = takes.map((take, t) => takeSlips(take, figures, t));
  const reached = takes.map(({ verdict }) => lastPlayed(verdict));
  return figures.map(({ from }) => {
    const kinds = new Map<SlipWord, number>();
    let any = 0;
    for (const slips of seen) {
      let most = 0;
      for (const [word, share] of slips[from]!) {
        kinds.set(word, (kinds.get(word) ?? 0) + share);
        most = Math.max(most, share);
      }
      any += most;
    }
    return { takes: Math.max(Math.ceil(any), reached.filter((last) => last > from).length), any, kinds };
  });
}

/** By interval: what went wrong there, and how surely it was there (1, or a half). */
function takeSlips(
  take: SurveyTake,
  figures: readonly IntervalFigures[],
  index: number,
): Map<SlipWord, number>[] {
  const { verdict } = take;
  const slips = figures.map(() => new Map<SlipWord, number>());
  const add = (word: SlipWord, to: number, share = 1) => {
    // What goes wrong on the first onset has no interval before it: the one that begins there stands for it.
    const at = slips[Math.max(0, to - 1)];
    if (at) at.set(word, Math.max(share, at.get(word) ?? 0));
  };
  const last = lastPlayed(verdict);
  for (const note of verdict.notes) {
    if (note.verdict === 'wrong') add('wrong notes', note.onset);
    if (note.verdict === 'missed' && note.onset <= last) add('missed notes', note.onset);
  }
  for (const extra of verdict.extras) {
    if (extra.kind === 'blip') add('blips', extra.before);
  }
  for (const [before, tried] of triesBefore(verdict)) {
    const again = tried.restart || isStutter(take, before, tried.notes);
    if (again)
      for (const { onset, share } of restartPlaces(take, before, tried.notes)) add('restarts', onset, share);
    else if (before < verdict.onsetMicros.length) add('extra notes', before);
  }
  for (const { from, hesitations } of figures) if (hesitations.includes(index)) add('hesitant', from + 1);
  return slips;
}

/** Added notes, by the onset they come before; `restart`: the matcher saw the player go back. */
function triesBefore(
  verdict: TakeVerdict,
): Map<number, { readonly notes: number[]; readonly restart: boolean }> {
  const tries = new Map<number, { readonly notes: number[]; readonly restart: boolean }>();
  for (const { kind, before, played } of verdict.extras) {
    if (kind !== 'extra' && kind !== 'restart') continue;
    const known = tries.get(before);
    tries.set(before, {
      notes: [...(known?.notes ?? []), played],
      restart: known?.restart === true || kind === 'restart',
    });
  }
  return tries;
}

/**
 * A note that came at about its time, and then once more: the player did not strike it twice by mistake but went back
 * to it.
 */
const IN_ITS_TIME = [0.75, 1.5] as const;

function isStutter(take: SurveyTake, before: number, notes: readonly number[]): boolean {
  const first = take.played?.[notes[0]!];
  const own = take.onsets?.[before]?.notes.some((note) => note.pitch === first?.pitch);
  const since = take.verdict.onsetMicros[before - 1];
  if (!first || !own || since === undefined) return false;
  const ticks = take.onsets![before]!.tick - take.onsets![before - 1]!.tick;
  const usual = ticks * usualMicrosPerTick(take);
  const share = (first.onMicros - since) / usual;
  return share >= IN_ITS_TIME[0] && share <= IN_ITS_TIME[1];
}

function usualMicrosPerTick({ verdict, onsets }: SurveyTake): number {
  return median(
    verdict.intervals.map(
      ({ from, to, playedMicros }) => playedMicros / (onsets![to]!.tick - onsets![from]!.tick),
    ),
  );
}

/**
 * The onset that sent the player back: the one struck wrongly last, or the one after the last that was right. Without
 * the notes themselves it may be either, a half each.
 */
function restartPlaces(
  take: SurveyTake,
  before: number,
  tried: readonly number[],
): { readonly onset: number; readonly share: number }[] {
  const { verdict, onsets, played } = take;
  const notes = tried.map((i) => played?.[i]).filter((note) => note !== undefined);
  if (onsets && notes.length > 0) return [{ onset: trippedAt(onsets, before, notes), share: 1 }];
  const after = before + onsetsOf(verdict, before, tried.length);
  return [after - 1, after].map((onset) => ({ onset, share: 0.5 }));
}

/**
 * Follows a try that was given up along the page, note by note. A missed onset is forgiven on the way, but not at the
 * end: what does not fit there is the wrong note that sent the player back, even if a later onset has its pitch.
 */
function trippedAt(onsets: readonly ExpectedOnset[], first: number, notes: readonly PlayedNote[]): number {
  const fits = (index: number, stroke: readonly PlayedNote[]) => {
    const pitches = onsets[index]?.notes.map((note) => note.pitch) ?? [];
    return stroke.filter(({ pitch }) => pitches.includes(pitch)).length / stroke.length;
  };
  const strokes = strokesOf(notes);
  let next = first;
  let right = true;
  strokes.forEach((stroke, i) => {
    const skips = i < strokes.length - 1 && fits(next, stroke) < 0.5 && fits(next + 1, stroke) >= 0.5;
    const at = skips ? next + 1 : next;
    right = fits(at, stroke) === 1;
    next = at + 1;
  });
  return right ? next : next - 1;
}

/** Notes nearer to each other than this are one chord: no two onsets are (the fastest playing is 16 notes a second). */
const CHORD_MICROS = 30_000;

function strokesOf(notes: readonly PlayedNote[]): PlayedNote[][] {
  const strokes: PlayedNote[][] = [];
  for (const note of notes) {
    const before = strokes.at(-1)?.at(-1);
    if (before && note.onMicros - before.onMicros < CHORD_MICROS) strokes.at(-1)!.push(note);
    else strokes.push([note]);
  }
  return strokes;
}

/** Index of the last onset that was played at all, rightly or wrongly; -1 for silence. */
function lastPlayed(verdict: TakeVerdict): number {
  return verdict.notes.reduce(
    (last, note) => (note.played === undefined ? last : Math.max(last, note.onset)),
    -1,
  );
}

/** How many onsets, from one on, so many played notes stand for. */
function onsetsOf(verdict: TakeVerdict, first: number, notes: number): number {
  let left = notes;
  let onset = first;
  while (left > 0 && onset < verdict.onsetMicros.length) {
    const size = verdict.notes.filter((n) => n.onset === onset && n.verdict !== 'omitted').length;
    left -= Math.max(1, size);
    onset++;
  }
  return onset - first;
}
