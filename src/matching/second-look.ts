// A second look at music with chords, when the take is over. The search goes note by note; where the hands are not
// together, it may have given a note to the wrong one of two neighbouring chords. Now that the time of every onset is
// known, each pitch is matched again by itself: its notes as played against the times at which they were due. When a
// note was due is told by the other notes of its chord or by the onsets around it, never by the note itself.

import { grouped } from '../music/grouped.ts';
import type { PlayedNote } from '../music/played-note.ts';
import { median } from '../statistics.ts';
import type { Account } from './account.ts';
import type { ExtraNote } from './alignment.ts';
import { CUT_SHORT, chordSurprise, EXTRA, MISSED } from './evidence.ts';
import type { Timetable } from './timetable.ts';
import { entries, trailOf } from './trail.ts';

/** A note farther than this from when it was due, and farther than one interval, is not that note. Judgement. */
const FARTHEST_MICROS = 300_000;
/**
 * When a note was due is only estimated, so its deviation counts as a third of the same deviation in a chord. First
 * data.
 */
const LOOSENESS = 3;
/**
 * The most that a pair found by the search costs, however far from when it was due. It is less than a missed and an
 * added note together, so that such a pair is not broken up for nothing (a run of grace notes can take seconds).
 * Judgement.
 */
const KEPT_MOST = 6;
/** Where so many onsets are lacking, and their time with them, the player skipped a place. Judgement. */
const SKIPPED_LEAST = 3;

/** The account with its right notes matched again, pitch by pitch. Notes of a try given up are left alone. */
export function lookAgain(account: Account, played: readonly PlayedNote[], timetable: Timetable): Account {
  const restarts = new Set(
    entries(account.extras)
      .filter((e) => e.kind === 'restart')
      .map((e) => e.played),
  );
  const due = dueTimes(account, played, timetable);
  const slotsOf = grouped(timetable.slots.keys(), (p) => timetable.slots[p]!.pitch);
  const fills = account.fills.map((by, p) =>
    by >= 0 && due[p] !== undefined && isRight(p, by, played, timetable) ? -1 : by,
  );
  const kept = new Set(fills.filter((by, p) => by >= 0 && isRight(p, by, played, timetable)));
  const notesOf = grouped(played.keys(), (i) => (restarts.has(i) || kept.has(i) ? -1 : played[i]!.pitch));
  const used = new Set<number>();
  for (const [pitch, slots] of slotsOf) {
    const reach = slots.filter((p) => due[p] !== undefined);
    for (const [slot, note] of pairUp(reach, notesOf.get(pitch) ?? [], due, played, account.fills)) {
      fills[slot] = note;
      used.add(note);
    }
  }
  // A wrong note leaves its slot if it has found one where it is right.
  for (const [p, by] of fills.entries()) {
    if (by >= 0 && !isRight(p, by, played, timetable) && used.has(by)) fills[p] = -1;
  }
  return { fills, extras: trailOf(leftOver(account, fills, played, timetable)), cursor: account.cursor };
}

function isRight(slot: number, by: number, played: readonly PlayedNote[], timetable: Timetable): boolean {
  return played[by]!.pitch === timetable.slots[slot]!.pitch;
}

interface Due {
  /** Two where a place was skipped: by what was played before it, and by what was played after it. */
  readonly atMicros: readonly number[];
  /** Played time of one interval around here. */
  readonly stepMicros: number;
}

/**
 * When each slot was due by the others of its chord, else by the onsets around it; undefined where that is not known.
 */
function dueTimes(
  account: Account,
  played: readonly PlayedNote[],
  timetable: Timetable,
): (Due | undefined)[] {
  const onsets = timetable.atMicros.length;
  const times: { slot: number; at: number }[][] = Array.from({ length: onsets }, () => []);
  for (const [slot, by] of account.fills.entries()) {
    if (by < 0 || !timetable.slots[slot]!.required || !isRight(slot, by, played, timetable)) continue;
    times[timetable.slots[slot]!.onset]!.push({ slot, at: played[by]!.onMicros });
  }
  const middles = times.map((t) => (t.length === 0 ? undefined : median(t.map(({ at }) => at))));
  const before: number[] = [];
  const after: number[] = new Array(onsets).fill(onsets);
  for (let o = 0, last = -1; o < onsets; o++) {
    before.push(last);
    if (middles[o] !== undefined) last = o;
  }
  for (let o = onsets - 1, next = onsets; o >= 0; o--) {
    after[o] = next;
    if (middles[o] !== undefined) next = o;
  }
  /** When an onset was due by those on either side, where the time between them was cut short. */
  const acrossSkip = (onset: number, a: number, b: number): number[] | undefined => {
    const [c, d] = [before[a]!, after[b]!];
    const { atMicros } = timetable;
    const apart = (from: number, to: number): number => atMicros[to]! - atMicros[from]!;
    if (c < 0 || d >= onsets) return undefined;
    const earlier = (middles[a]! - middles[c]!) / apart(c, a);
    const later = (middles[d]! - middles[b]!) / apart(b, d);
    if (middles[b]! - middles[a]! > CUT_SHORT * apart(a, b) * Math.min(earlier, later)) return undefined;
    return [middles[a]! + apart(a, onset) * earlier, middles[b]! - apart(onset, b) * later];
  };
  return timetable.slots.map(({ onset }, slot) => {
    const mates = times[onset]!.filter((t) => t.slot !== slot).map(({ at }) => at);
    let [a, b] = [before[onset]!, after[onset]!];
    // Before the first matched onset and after the last, it is the pace of the onsets next to it that tells. They are
    // taken at least as far apart as this one is from them: over a shorter time, hands that are not quite together
    // would look like a change of pace.
    const apart = (from: number, to: number): number => timetable.atMicros[to]! - timetable.atMicros[from]!;
    if (a < 0 && b < onsets) {
      a = b;
      do b = after[b]!;
      while (b < onsets && apart(a, b) < apart(onset, a));
    } else if (b >= onsets && a >= 0) {
      b = a;
      do a = before[a]!;
      while (a >= 0 && apart(a, b) < apart(b, onset));
    }
    if (a < 0 || b >= onsets)
      return mates.length > 0 ? { atMicros: [median(mates)], stepMicros: 0 } : undefined;
    const pace = (middles[b]! - middles[a]!) / apart(a, b);
    const between = middles[a]! + apart(a, onset) * pace;
    const next = Math.min(onset + 1, onsets - 1);
    const step = (timetable.atMicros[next]! - timetable.atMicros[Math.max(0, next - 1)]!) * pace;
    const stepMicros = Math.max(step, 0);
    if (mates.length > 0) return { atMicros: [median(mates)], stepMicros };
    const skipped = b - a > SKIPPED_LEAST ? acrossSkip(onset, a, b) : undefined;
    return { atMicros: skipped ?? [between], stepMicros };
  });
}

/** The cheapest way to pair slots and notes of one pitch, both in order. */
function pairUp(
  slots: readonly number[],
  notes: readonly number[],
  due: readonly (Due | undefined)[],
  played: readonly PlayedNote[],
  firstLook: readonly number[],
): [slot: number, note: number][] {
  // cost[n]: the least cost of pairing the slots so far with the first n notes. `choices` remembers how it came about.
  let cost = Array.from({ length: notes.length + 1 }, (_, n) => n * EXTRA);
  const choices: Uint8Array[] = [];
  for (const slot of slots) {
    const { atMicros, stepMicros } = due[slot]!;
    const farthest = Math.max(FARTHEST_MICROS, stepMicros);
    const next = [cost[0]! + MISSED];
    const choice = new Uint8Array(notes.length + 1);
    for (let n = 1; n <= notes.length; n++) {
      const at = played[notes[n - 1]!]!.onMicros;
      const apart = Math.min(...atMicros.map((due) => Math.abs(at - due)));
      let asDue = apart > farthest ? Number.POSITIVE_INFINITY : chordSurprise(apart / LOOSENESS);
      if (firstLook[slot] === notes[n - 1]) asDue = Math.min(asDue, KEPT_MOST);
      const pair = cost[n - 1]! + asDue;
      const missed = cost[n]! + MISSED;
      const extra = next[n - 1]! + EXTRA;
      const least = Math.min(pair, missed, extra);
      choice[n] = least === pair ? 1 : least === missed ? 0 : 2;
      next.push(least);
    }
    cost = next;
    choices.push(choice);
  }
  const pairs: [number, number][] = [];
  for (let p = slots.length, n = notes.length; p > 0; ) {
    const choice = choices[p - 1]![n];
    if (choice === 1) pairs.push([slots[--p]!, notes[--n]!]);
    else if (choice === 2) n--;
    else p--;
  }
  return pairs;
}

/** Every note that now has no slot: extras as they were, and notes that have lost their slot, before what came next. */
function leftOver(
  account: Account,
  fills: readonly number[],
  played: readonly PlayedNote[],
  timetable: Timetable,
): ExtraNote[] {
  const placed = new Set(fills);
  const known = new Map(entries(account.extras).map((e) => [e.played, e]));
  const wasAt = new Map(account.fills.map((by, p) => [by, timetable.slots[p]!.onset]));
  return [...played.keys()]
    .filter((i) => !placed.has(i))
    .map((i) => known.get(i) ?? { played: i, kind: 'extra', before: (wasAt.get(i) ?? account.cursor) + 1 });
}
