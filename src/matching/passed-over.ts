// The notes that one note passes over and that may still come. While a take is played each hand keeps its own time: a
// note of one hand that comes early does not make the other hand late, and a hand that has struck a grace note is on its
// way to that note. When the take is over, `out-of-order.ts` finds what came in another order.

import { HANDS_CROSSED } from './evidence.ts';
import type { Growth } from './growth.ts';
import type { Hypothesis } from './hypothesis.ts';
import { LATE_CHORD_MICROS, type LeftBehind, missingFrom, NONE_LEFT } from './left-behind.ts';
import { firstSlotAfter, type Slot } from './timetable.ts';

export interface PassedOver {
  readonly mayCome: readonly LeftBehind[];
  /** Surprise at the order in which the hands came. */
  readonly surprise: number;
}

export const NOTHING_PASSED: PassedOver = { mayCome: NONE_LEFT, surprise: 0 };

/** What each note costs if it never comes: of the chord reached, and of the onsets after it. */
export interface PriceEach {
  readonly left: number;
  readonly skipped: number;
}

/** What a hypothesis passes over when the note just played goes to `target`, at a later onset. */
export function passedOver(
  r: Hypothesis,
  growth: Growth,
  target: Slot,
  { left, skipped }: PriceEach,
): PassedOver {
  const { timetable, note } = growth;
  const now = note.onMicros;
  const mayCome: LeftBehind[] = [];
  let surprise = 0;
  for (let o = target.onset - 1; o >= Math.max(0, r.cursor); o--) {
    const manner = mannerOf(r, growth, o, target.onset);
    const dueMicros = dueWhenOnTime(r, growth, o, target.onset);
    const latestMicros = latestDue(r, growth, o, { manner, dueMicros });
    if (now - latestMicros > LATE_CHORD_MICROS) break;
    for (let p = timetable.firstSlot[o]!; p < firstSlotAfter(timetable, o); p++) {
      const slot = timetable.slots[p]!;
      if (!slot.required || (o === r.cursor && (r.mask & (1 << slot.note)) !== 0)) continue;
      const beside = manner === 'beside';
      const due = beside && !isOtherHand(slot, target) ? dueMicros : latestMicros;
      if (now - due > LATE_CHORD_MICROS) continue;
      if (beside && due > dueMicros) surprise = HANDS_CROSSED;
      const missingMicros =
        manner === 'begun' ? due + LATE_CHORD_MICROS : missingFrom(beside ? dueMicros : due, now);
      mayCome.push({ slot: p, price: o === r.cursor ? left : skipped, dueMicros: due, missingMicros });
    }
  }
  return mayCome.length > 0 ? { mayCome, surprise } : NOTHING_PASSED;
}

/**
 * How an onset is passed over. `begun`: a grace note of it has been struck. `led`: one of the onset that is reached now
 * has, so that hand is ahead of the other. `beside`: it stands just before that onset, and the other hand may play it a
 * moment later.
 */
type Manner = 'begun' | 'led' | 'beside' | 'plain';

function mannerOf(
  { cursor, ahead, aheadOnset }: Hypothesis,
  { jumps }: Growth,
  o: number,
  onset: number,
): Manner {
  if (!jumps.handsApart || o === cursor) return 'plain';
  if (ahead !== 0 && o === aheadOnset) return 'begun';
  if (cursor < 0) return 'plain';
  if (ahead !== 0 && onset === aheadOnset) return 'led';
  return o === onset - 1 ? 'beside' : 'plain';
}

/** When an onset was due if the note that passes it over is in time. */
function dueWhenOnTime(r: Hypothesis, { timetable, note, pace }: Growth, o: number, onset: number): number {
  if (o === r.cursor) return r.atMicros;
  return note.onMicros - (timetable.atMicros[onset]! - timetable.atMicros[o]!) * pace;
}

/** The latest time at which an onset can have been due by now. */
function latestDue(
  r: Hypothesis,
  { timetable, note, pace }: Growth,
  o: number,
  { manner, dueMicros }: { readonly manner: Manner; readonly dueMicros: number },
): number {
  if (manner === 'plain') return dueMicros;
  if (manner === 'begun') return note.onMicros;
  const byClock = r.atMicros + (timetable.atMicros[o]! - timetable.atMicros[r.cursor]!) * pace;
  return Math.max(dueMicros, manner === 'led' ? byClock : Math.min(byClock, note.onMicros));
}

/** Where the staves are not known, notes so far apart in pitch are of two hands: an octave or more. Judgement. */
const OTHER_HAND_SEMITONES = 12;

function isOtherHand(one: Slot, other: Slot): boolean {
  if (one.staff !== undefined && other.staff !== undefined) return one.staff !== other.staff;
  return Math.abs(one.pitch - other.pitch) >= OTHER_HAND_SEMITONES;
}
