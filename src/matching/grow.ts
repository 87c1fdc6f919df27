// How one more played note continues a reading: as an added note, a note of the chord that is sounding, the next note
// (right or wrong, others passed over), or a going back. Whatever is already too unlikely is not even made.

import {
  chordSurprise,
  EXTRA,
  GRACE,
  ORNAMENT,
  ORNAMENT_AGAIN,
  WRONG_MORE,
  wrongPitchSurprise,
} from './evidence.ts';
import type { Growth } from './growth.ts';
import { addBack } from './jumps.ts';
import { chargeOf, LATE_CHORD_MICROS, NONE_LEFT } from './left-behind.ts';
import { addForward } from './moves.ts';
import { chargedUntil, type Reading } from './reading.ts';
import { firstPlaceAfter, ornamentEnd } from './timetable.ts';

/** One that begins before its written note begins so little before it. */
const ORNAMENT_BEFORE_MICROS = 200_000;

export function grow(reading: Reading, growth: Growth): void {
  growth.before = reading;
  const r = reading.open === NONE_LEFT ? reading : chargedUntil(reading, growth.note.onMicros);
  addExtra(r, growth);
  if (r.cursor >= 0) {
    addChordNotes(r, growth);
    addLateNotes(r, growth);
  }
  if (r.cursor + 1 < growth.timetable.atMicros.length) {
    addAhead(r, growth);
    addForward(r, growth);
  }
  if (r.cursor >= 0) addBack(r, growth);
}

function addExtra(r: Reading, growth: Growth): void {
  const { note, played } = growth;
  const ornament = ornamentOf(r, growth);
  const begins = ornament === 'next' && r.ornamentAtMicros < 0;
  const again = ornament !== 'none' && (r.act === 'ornament' || r.ornamentAtMicros >= 0);
  const surprise = ornament === 'none' ? EXTRA : again ? ORNAMENT_AGAIN : ORNAMENT;
  if (r.cost + surprise > growth.limit) return;
  const extraAtMicros = ornament === 'none' && r.extraAtMicros < 0 ? note.onMicros : r.extraAtMicros;
  // Spelled out, not spread: this is the one reading made of every reading for every note.
  growth.add({
    before: growth.before,
    depth: r.depth + 1,
    cost: r.cost + surprise,
    act: ornament === 'none' ? 'extra' : 'ornament',
    played,
    place: -1,
    wentBack: false,
    cursor: r.cursor,
    atMicros: r.atMicros,
    mask: r.mask,
    ahead: r.ahead,
    extraAtMicros,
    ornamentAtMicros: begins ? note.onMicros : r.ornamentAtMicros,
    open: r.open,
    pending: r.pending,
    jumpedAt: r.jumpedAt,
    jumpedCost: r.jumpedCost,
    last: r.last,
    lastMicros: r.lastMicros,
    logPace: r.logPace,
    paceVariance: r.paceVariance,
  });
}

/**
 * Whether a note can belong to a written ornament: of the onset reached, the written note itself struck again or a
 * neighbour up to a whole tone away, while the written note lasts; of the next, a neighbour just before it is due (the
 * written note itself is then the note, not an added one).
 */
function ornamentOf(r: Reading, { timetable, note }: Growth): 'none' | 'reached' | 'next' {
  const pace = Math.exp(r.logPace);
  const since = note.onMicros - r.atMicros;
  if (r.cursor >= 0) {
    const now = timetable.atMicros[r.cursor]! + since / pace;
    for (const p of timetable.ornamentsAt[r.cursor]!) {
      const place = timetable.places[p]!;
      if (Math.abs(place.pitch - note.pitch) <= 2 && now <= ornamentEnd(place, timetable.atMicros)) {
        return 'reached';
      }
    }
  }
  const next = r.cursor + 1;
  if (next >= timetable.atMicros.length) return 'none';
  const due = r.cursor < 0 ? 0 : (timetable.atMicros[next]! - timetable.atMicros[r.cursor]!) * pace;
  if (since < due / 2 || since < due - ORNAMENT_BEFORE_MICROS) return 'none';
  for (const p of timetable.ornamentsAt[next]!) {
    const place = timetable.places[p]!;
    const apart = Math.abs(place.pitch - note.pitch);
    if (place.onset === next && apart >= 1 && apart <= 2) return 'next';
  }
  return 'none';
}

function addChordNotes(r: Reading, growth: Growth): void {
  const { timetable, note } = growth;
  const apart = note.onMicros - r.atMicros;
  // A rolled chord: each note is close to the one before it.
  const spread = chordSurprise(note.onMicros - Math.max(r.lastMicros, r.atMicros));
  for (let p = timetable.firstPlace[r.cursor]!; p < firstPlaceAfter(timetable, r.cursor); p++) {
    const place = timetable.places[p]!;
    const bit = 1 << place.note;
    if ((r.mask & bit) !== 0) continue;
    const right = place.pitch === note.pitch;
    if (!right && (!place.required || apart > LATE_CHORD_MICROS)) continue;
    const misread = r.act === 'wrong';
    const wrong = right ? 0 : misread ? WRONG_MORE : wrongPitchSurprise(place.pitch, note.pitch);
    const cost = r.cost + spread + wrong;
    if (cost > growth.limit) continue;
    const act = right ? 'right' : 'wrong';
    growth.add({ ...placed(r, act, p, cost, growth), mask: r.mask | bit });
  }
}

/** Notes left behind that come after all. */
function addLateNotes(r: Reading, growth: Growth): void {
  const { timetable, note } = growth;
  for (const left of r.open) {
    if (timetable.places[left.place]!.pitch !== note.pitch) continue;
    const charge = chargeOf(left, note.onMicros);
    const late = chordSurprise(note.onMicros - left.dueMicros);
    const reading = placed(r, 'right', left.place, r.cost - charge + late, growth);
    const open = r.open.length === 1 ? NONE_LEFT : r.open.filter((other) => other !== left);
    growth.add({ ...reading, open, pending: r.pending - charge });
  }
}

/** Optional notes before the next onset. */
function addAhead(r: Reading, growth: Growth): void {
  const { timetable, note } = growth;
  const next = r.cursor + 1;
  for (let p = timetable.firstPlace[next]!; p < firstPlaceAfter(timetable, next); p++) {
    const place = timetable.places[p]!;
    const bit = 1 << place.note;
    if (place.required || place.pitch !== note.pitch || (r.ahead & bit) !== 0) continue;
    const cost = r.cost + GRACE;
    if (cost > growth.limit) continue;
    const ornamentAtMicros = r.ornamentAtMicros < 0 ? note.onMicros : r.ornamentAtMicros;
    growth.add({ ...placed(r, 'right', p, cost, growth), ahead: r.ahead | bit, ornamentAtMicros });
  }
}

function placed(
  r: Reading,
  act: 'right' | 'wrong',
  place: number,
  cost: number,
  { before, played, note }: Growth,
): Reading {
  return {
    ...r,
    before,
    depth: r.depth + 1,
    cost,
    act,
    played,
    place,
    wentBack: false,
    last: played,
    lastMicros: note.onMicros,
  };
}
