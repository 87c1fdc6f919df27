// Blips: the fingers did not move together, and a third note sounded for a moment. Shortness alone proves nothing, for
// a written fast note is short too: a blip stands between two right notes and is much shorter than the time between
// them.

import type { PlayedNote } from '../music/played-note.ts';
import type { ExtraNote } from './alignment.ts';
import type { Timetable } from './timetable.ts';

/** Fingers differ by "typically tens of ms" (Almeida et al. 2009, JASA 126:1521): longer is a note that was meant. */
const BLIP_MOST_MICROS = 60_000;
/**
 * And at most this share of the time between its neighbours, for in fast music written notes are short too. Judgement.
 */
const BLIP_MOST_SHARE = 0.4;

/**
 * Whether an extra note is a blip. `fills` says which played note fills each slot. While the note is still held, the
 * next note's beginning counts as its end; held on into the next it was no slip of the fingers.
 */
export function isBlip(
  extra: ExtraNote,
  fills: readonly number[],
  played: readonly PlayedNote[],
  timetable: Timetable,
): boolean {
  const from = extra.before - 1;
  if (from < 0 || extra.before >= timetable.atMicros.length) return false;
  const left = rightNote(from, fills, played, timetable);
  const right = rightNote(extra.before, fills, played, timetable);
  if (left === undefined || right === undefined) return false;
  const note = played[extra.played]!;
  const interval = right.onMicros - left.onMicros;
  if (note.onMicros < left.onMicros || note.onMicros > right.onMicros || interval <= 0) return false;
  const sounded = (note.offMicros ?? right.onMicros) - note.onMicros;
  const lasted = Math.max(sounded, 0);
  return lasted <= BLIP_MOST_MICROS && lasted <= BLIP_MOST_SHARE * interval;
}

/** The first right note of an onset. */
function rightNote(
  onset: number,
  fills: readonly number[],
  played: readonly PlayedNote[],
  timetable: Timetable,
): PlayedNote | undefined {
  for (let p = timetable.firstSlot[onset]!; p < timetable.firstSlot[onset + 1]!; p++) {
    const note = fills[p]! < 0 ? undefined : played[fills[p]!];
    if (note && note.pitch === timetable.slots[p]!.pitch) return note;
  }
  return undefined;
}
