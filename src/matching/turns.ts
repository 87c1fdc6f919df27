// Which turns of a written-out trill or tremolo were left out. Nobody counts them: a trill of fewer notes than are
// written is played slower, or begins late, or ends early. So the clock says which notes were played: each is the one
// of its pitch that was due then, by the notes around the trill.

import type { PlayedNote } from '../music/played-note.ts';
import type { Account } from './account.ts';
import type { Slot, Timetable } from './timetable.ts';

/** So quick are the notes of a trill at most, as they are written and played. Judgement. */
const TURN_MICROS = 130_000;
/** Less is a turn of the melody, and no trill. Judgement. */
const LEAST_NOTES = 5;

/** The account with the played notes of trills that lack some of their notes given to those that were due. */
export function turnsByClock(account: Account, played: readonly PlayedNote[], timetable: Timetable): Account {
  const fills = account.fills.slice();
  const done = new Set<number>();
  for (const [missing, { required }] of timetable.slots.entries()) {
    if (!required || fills[missing]! >= 0 || done.has(missing)) continue;
    const trill = trillAround(missing, timetable.slots);
    if (trill.length < LEAST_NOTES) continue;
    for (const slot of trill) done.add(slot);
    assign(trill, fills, played, timetable);
  }
  return { ...account, fills };
}

/** The slots of the two pitches that alternate around one; a note of the other hand may stand between. */
function trillAround(from: number, slots: readonly Slot[]): number[] {
  const { pitch } = slots[from]!;
  const other = [from + 1, from - 1].find((p) => {
    const between = slots[p];
    const beyond = slots[2 * p - from];
    return between?.required && between.pitch !== pitch && beyond?.required && beyond.pitch === pitch;
  });
  if (other === undefined) return [];
  const turn = slots[other]!.pitch;
  const trill = [from];
  for (const step of [-1, 1]) {
    let wanted = turn;
    let strange = 0;
    for (let p = from + step; strange <= 1 && p >= 0 && p < slots.length; p += step) {
      if (slots[p]!.pitch === wanted && slots[p]!.required) {
        if (step < 0) trill.unshift(p);
        else trill.push(p);
        wanted = wanted === turn ? pitch : turn;
        strange = 0;
      } else strange++;
    }
  }
  return trill;
}

/** Gives the notes that fill some of these slots to those of them that were due when they were played. */
function assign(
  trill: readonly number[],
  fills: number[],
  played: readonly PlayedNote[],
  timetable: Timetable,
): void {
  const notes = trill.map((p) => fills[p]!).filter((by) => by >= 0);
  const due = dueTimes(trill, fills, played, timetable);
  if (!due || notes.length === 0) return;
  const isRight = (p: number): boolean =>
    fills[p]! < 0 || played[fills[p]!]!.pitch === timetable.slots[p]!.pitch;
  if (!trill.every(isRight)) return;
  notes.sort((a, b) => a - b);
  // off[n]: the least sum of deviations when the first n notes have been given to slots so far.
  let off = [0, ...notes.map(() => Number.POSITIVE_INFINITY)];
  const taken: boolean[][] = [];
  for (const [k, p] of trill.entries()) {
    const choice = off.map(() => false);
    off = off.map((without, n) => {
      if (n === 0) return without;
      const note = played[notes[n - 1]!]!;
      if (note.pitch !== timetable.slots[p]!.pitch) return without;
      const given = off[n - 1]! + Math.abs(note.onMicros - due[k]!);
      choice[n] = given < without;
      return Math.min(given, without);
    });
    taken.push(choice);
  }
  if (off.at(-1) === Number.POSITIVE_INFINITY) return;
  for (let k = trill.length - 1, n = notes.length; k >= 0; k--) {
    fills[trill[k]!] = taken[k]![n] ? notes[--n]! : -1;
  }
}

/** When the notes of a trill were due by the right notes around and between them; undefined where it was no trill. */
function dueTimes(
  trill: readonly number[],
  fills: readonly number[],
  played: readonly PlayedNote[],
  { slots, atMicros }: Timetable,
): number[] | undefined {
  const own = new Set(trill);
  const isAnchor = (p: number): boolean =>
    !own.has(p) && slots[p]!.required && fills[p]! >= 0 && played[fills[p]!]!.pitch === slots[p]!.pitch;
  let [from, to] = [trill[0]! - 1, trill.at(-1)! + 1];
  while (from >= 0 && !isAnchor(from)) from--;
  while (to < slots.length && !isAnchor(to)) to++;
  if (from < 0 || to >= slots.length) return undefined;
  const at = (p: number): number => atMicros[slots[p]!.onset]!;
  const on = (p: number): number => played[fills[p]!]!.onMicros;
  const pace = (on(to) - on(from)) / (at(to) - at(from));
  if ((at(trill.at(-1)!) - at(trill[0]!)) * pace > (trill.length - 1) * TURN_MICROS) return undefined;
  const anchors = [from];
  for (let p = from + 1; p <= to; p++) if (isAnchor(p) && on(p) > on(anchors.at(-1)!)) anchors.push(p);
  return trill.map((p) => {
    const k = Math.max(
      1,
      anchors.findIndex((anchor) => at(anchor) >= at(p)),
    );
    const [a, b] = [anchors[k - 1]!, anchors[k]!];
    return on(a) + ((at(p) - at(a)) / Math.max(1, at(b) - at(a))) * (on(b) - on(a));
  });
}
