// Which of several like notes were left out. Their pitch does not tell: one of two equal neighbours is lacking, or a
// written-out trill has fewer notes than are written (nobody counts them: it is played slower, begins late or ends
// early). So the clock says it: each note is the one of its pitch that was due when it was played, by the notes around
// them all. The search takes these notes one by one, and calls any pause as likely as a longer one.

import type { PlayedNote } from '../music/played-note.ts';
import type { Account } from './account.ts';
import { CUT_SHORT } from './evidence.ts';
import type { Slot, Timetable } from './timetable.ts';

/** So quick are the notes of a trill at most, as they are written and played. Judgement. */
const TURN_MICROS = 130_000;
/** Less is a turn of the melody, and no trill. Judgement. */
const LEAST_NOTES = 5;

/** Between equal notes so many others left out make it a place skipped. Judgement. */
const SKIPPED_LEAST = 2;
/** The pace around them is taken from so many notes on each side. Judgement. */
const PACE_ANCHORS = 5;

/** The account with the played ones of like notes given to those that were due. */
export function leftOutByClock(
  account: Account,
  played: readonly PlayedNote[],
  timetable: Timetable,
): Account {
  const { slots } = timetable;
  const fills = account.fills.slice();
  const done = new Set<number>();
  for (const [missing, { required }] of slots.entries()) {
    if (!required || fills[missing]! >= 0 || done.has(missing)) continue;
    const trill = trillAround(missing, slots);
    const equal = equalAround(missing, fills, timetable);
    const lacking = trill.filter((p) => fills[p]! < 0);
    const atOnePlace = lacking.length <= 2 && lacking.every((p) => p >= equal[0]! && p <= equal.at(-1)!);
    // Where a trill lacks one turn, the notes next to it tell better than those around the trill.
    const alike = trill.length > 0 && !(equal.length > 1 && atOnePlace) ? trill : equal;
    if (alike.length < 2) continue;
    if (alike === trill) for (const p of trill) done.add(p);
    else for (let p = alike[0]!; p <= alike.at(-1)!; p++) done.add(p);
    const due = dueTimes(alike, fills, played, timetable);
    if (!due || (alike === trill && isSlow(due))) continue;
    const skipped = alike === equal && othersBetween(equal, slots) >= SKIPPED_LEAST;
    if (skipped && isCutShort(equal, fills, played, timetable)) continue;
    assign(alike, due, fills, played, slots);
  }
  return { ...account, fills };
}

/** The slots of the two pitches that alternate around one; empty where they are too few. */
function trillAround(from: number, slots: readonly Slot[]): number[] {
  const { pitch } = slots[from]!;
  const other = [from + 1, from - 1].find((p) => {
    const between = slots[p];
    const beyond = slots[2 * p - from];
    return between?.required && between.pitch !== pitch && beyond?.required && beyond.pitch === pitch;
  });
  if (other === undefined) return [];
  const trill = longerTrill([from], slots[other]!.pitch, slots, false);
  return trill.length < LEAST_NOTES ? [] : longerTrill(trill, slots[other]!.pitch, slots, true);
}

/**
 * A trill with the slots before and after it that go on with it; one note of the other hand may stand between two
 * turns, or for a turn too where it is known to be a trill (`sure`).
 */
function longerTrill(
  trill: readonly number[],
  turn: number,
  slots: readonly Slot[],
  sure: boolean,
): number[] {
  const longer = [...trill];
  const pitch = slots[trill[0]!]!.pitch === turn ? slots[trill[1]!]!.pitch : slots[trill[0]!]!.pitch;
  for (const step of [-1, 1]) {
    let last = step < 0 ? longer[0]! : longer.at(-1)!;
    for (let p = last + step, strange = 0; strange <= 1 && p >= 0 && p < slots.length; p += step) {
      const slot = slots[p]!;
      const again = slot.pitch === slots[last]!.pitch;
      // Two notes of one chord are no turns.
      const isTurn =
        slot.required &&
        slot.onset !== slots[last]!.onset &&
        (slot.pitch === turn || slot.pitch === pitch) &&
        (!again || (sure && strange === 1));
      if (!isTurn) strange++;
      else {
        if (step < 0) longer.unshift(p);
        else longer.push(p);
        last = p;
        strange = 0;
      }
    }
  }
  return longer;
}

/** The slots of one pitch around an empty one, with none between them that was played. Chords tell their own notes. */
function equalAround(from: number, fills: readonly number[], { slots, singleLine }: Timetable): number[] {
  if (!singleLine) return [];
  const equal = [from];
  for (const step of [-1, 1]) {
    for (let p = from + step; p >= 0 && p < slots.length; p += step) {
      const { required, pitch } = slots[p]!;
      if (!required) continue;
      if (pitch !== slots[from]!.pitch) {
        if (fills[p]! >= 0) break;
      } else if (step < 0) equal.unshift(p);
      else equal.push(p);
    }
  }
  return equal;
}

/** Gives the notes that fill some of these slots to those of them that were due when they were played. */
function assign(
  alike: readonly number[],
  due: readonly number[],
  fills: number[],
  played: readonly PlayedNote[],
  slots: readonly Slot[],
): void {
  const notes = alike.map((p) => fills[p]!).filter((by) => by >= 0);
  const isRight = (p: number): boolean => fills[p]! < 0 || played[fills[p]!]!.pitch === slots[p]!.pitch;
  if (notes.length === 0 || !alike.every(isRight)) return;
  notes.sort((a, b) => a - b);
  // off[n]: the least sum of deviations when the first n notes have been given to slots so far.
  let off = [0, ...notes.map(() => Number.POSITIVE_INFINITY)];
  const taken: boolean[][] = [];
  for (const [k, p] of alike.entries()) {
    const choice = off.map(() => false);
    off = off.map((without, n) => {
      if (n === 0) return without;
      const note = played[notes[n - 1]!]!;
      if (note.pitch !== slots[p]!.pitch) return without;
      const given = off[n - 1]! + Math.abs(note.onMicros - due[k]!);
      choice[n] = given < without;
      return Math.min(given, without);
    });
    taken.push(choice);
  }
  if (off.at(-1) === Number.POSITIVE_INFINITY) return;
  for (let k = alike.length - 1, n = notes.length; k >= 0; k--) {
    fills[alike[k]!] = taken[k]![n] ? notes[--n]! : -1;
  }
}

function isSlow(due: readonly number[]): boolean {
  return due.at(-1)! - due[0]! > (due.length - 1) * TURN_MICROS;
}

/** How many other notes are written between like ones. */
function othersBetween(alike: readonly number[], slots: readonly Slot[]): number {
  let others = 0;
  for (let p = alike[0]!; p <= alike.at(-1)!; p++)
    if (slots[p]!.required && slots[p]!.pitch !== slots[alike[0]!]!.pitch) others++;
  return others;
}

/**
 * Whether the time of what was left out was left out too: the player went on at once, so these notes were played as
 * quickly as they come without the ones lacking, by the pace of the notes around them. Then it is no question of when
 * each was due.
 */
function isCutShort(
  alike: readonly number[],
  fills: readonly number[],
  played: readonly PlayedNote[],
  { slots, atMicros }: Timetable,
): boolean {
  const isAnchor = (p: number): boolean =>
    slots[p]!.required && fills[p]! >= 0 && played[fills[p]!]!.pitch === slots[p]!.pitch;
  const anchorsFrom = (p: number, step: number): number[] => {
    const found: number[] = [];
    for (; p >= 0 && p < slots.length && found.length < PACE_ANCHORS; p += step)
      if (isAnchor(p)) found.push(p);
    return found;
  };
  const before = anchorsFrom(alike[0]! - 1, -1);
  const after = anchorsFrom(alike.at(-1)! + 1, 1);
  const at = (p: number): number => atMicros[slots[p]!.onset]!;
  const on = (p: number): number => played[fills[p]!]!.onMicros;
  const asked = at(before[0]!) - at(before.at(-1)!) + at(after.at(-1)!) - at(after[0]!);
  if (asked <= 0) return false;
  const took = on(before[0]!) - on(before.at(-1)!) + on(after.at(-1)!) - on(after[0]!);
  const usual = ((at(after[0]!) - at(before[0]!)) * took) / asked;
  return on(after[0]!) - on(before[0]!) < CUT_SHORT * usual;
}

/** When these slots were due by the right notes around and between them; undefined where none are on both sides. */
function dueTimes(
  alike: readonly number[],
  fills: readonly number[],
  played: readonly PlayedNote[],
  { slots, atMicros }: Timetable,
): number[] | undefined {
  const own = new Set(alike);
  const isAnchor = (p: number): boolean =>
    !own.has(p) && slots[p]!.required && fills[p]! >= 0 && played[fills[p]!]!.pitch === slots[p]!.pitch;
  let [from, to] = [alike[0]! - 1, alike.at(-1)! + 1];
  while (from >= 0 && !isAnchor(from)) from--;
  while (to < slots.length && !isAnchor(to)) to++;
  if (from < 0 || to >= slots.length) return undefined;
  const at = (p: number): number => atMicros[slots[p]!.onset]!;
  const on = (p: number): number => played[fills[p]!]!.onMicros;
  const anchors = [from];
  for (let p = from + 1; p <= to; p++) if (isAnchor(p) && on(p) > on(anchors.at(-1)!)) anchors.push(p);
  if (anchors.length < 2) return undefined;
  return alike.map((p) => {
    const next = anchors.findIndex((anchor) => at(anchor) >= at(p));
    const k = next < 0 ? anchors.length - 1 : Math.max(1, next);
    const [a, b] = [anchors[k - 1]!, anchors[k]!];
    return on(a) + ((at(p) - at(a)) / Math.max(1, at(b) - at(a))) * (on(b) - on(a));
  });
}
