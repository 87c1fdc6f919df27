// The ways in which one more played note can continue a hypothesis: it is an added note, one more note of the chord
// reached, a note left behind, a note further on (right or wrong), or the player went back. What would cost too much is
// not made.

import { isOrnamentPitch } from '../music/onset.ts';
import { GRACE_USUAL_MICROS } from './early-grace.ts';
import {
  chordSurprise,
  EXTRA,
  GRACE,
  LATE_ALONE_MOST,
  LATE_MOST,
  NEXT_PASSED_BY,
  ORNAMENT,
  ORNAMENT_AGAIN,
  WRONG_MORE,
  wrongPitchSurprise,
} from './evidence.ts';
import { type Growth, placed, unplaced } from './growth.ts';
import { chargedUntil, type Hypothesis } from './hypothesis.ts';
import { addBack } from './jumps.ts';
import { chargeOf, LATE_CHORD_MICROS, type LeftBehind, NONE_LEFT } from './left-behind.ts';
import { addForward } from './moves.ts';
import { firstSlotAfter, isGrace, ornamentEnd } from './timetable.ts';

/** An ornament that begins before its written note begins so shortly before it. Judgement. */
const ORNAMENT_BEFORE_MICROS = 200_000;
/**
 * Where other notes still come between, grace notes begin at most so long, and so many onsets, before their own; of
 * several, each may come a usual grace note before the next one. Judgement.
 */
const AHEAD_MICROS = 300_000;
const AHEAD_ONSETS = 4;

export function grow(hypothesis: Hypothesis, growth: Growth): void {
  growth.before = hypothesis;
  growth.pace = Math.exp(hypothesis.logPace);
  const r = hypothesis.open === NONE_LEFT ? hypothesis : chargedUntil(hypothesis, growth.note.onMicros);
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

function addExtra(r: Hypothesis, growth: Growth): void {
  const { note } = growth;
  const ornament = ornamentOf(r, growth);
  const begins = ornament === 'next' && r.ornamentAtMicros < 0;
  const again = ornament !== 'none' && (r.act === 'ornament' || r.ornamentAtMicros >= 0);
  const free = again ? ORNAMENT_AGAIN : ORNAMENT;
  const surprise = (ornament === 'none' ? EXTRA : free) + (couldBeNext(r, growth) ? NEXT_PASSED_BY : 0);
  if (r.cost + surprise > growth.limit) return;
  const draft = unplaced(r, ornament === 'none' ? 'extra' : 'ornament', r.cost + surprise, growth);
  if (ornament === 'none' && r.extraAtMicros < 0) draft.extraAtMicros = note.onMicros;
  if (begins) draft.ornamentAtMicros = note.onMicros;
  growth.add(draft);
}

/** Whether the next onset is due and this is its note: it is hardly an added one, or one more of an ornament. */
function couldBeNext(r: Hypothesis, growth: Growth): boolean {
  const { timetable, note } = growth;
  const next = r.cursor + 1;
  if (r.cursor < 0 || next >= timetable.atMicros.length) return false;
  const due = nextStep(r, growth);
  if (note.onMicros - r.atMicros < due - Math.min(NEXT_BEFORE_MICROS, due / 4)) return false;
  for (let p = timetable.firstSlot[next]!; p < firstSlotAfter(timetable, next); p++) {
    const slot = timetable.slots[p]!;
    if (slot.required && slot.pitch === note.pitch) return true;
  }
  return false;
}

/** How long after the onset reached the next one is due; Infinity after the last. */
function nextStep({ cursor }: Hypothesis, { timetable, pace }: Growth): number {
  const next = timetable.atMicros[cursor + 1];
  return next === undefined ? Number.POSITIVE_INFINITY : (next - timetable.atMicros[cursor]!) * pace;
}

/**
 * So little before the next onset is due, its note is that onset rather than an added note or one of an ornament.
 * Judgement.
 */
const NEXT_BEFORE_MICROS = 100_000;

/**
 * Whether a note can belong to a written ornament: of the onset reached, the written note itself struck again or a
 * neighbour up to a whole tone away, while the written note lasts; of the next, a neighbour just before it is due (the
 * written note itself is then the note, not an added one).
 */
function ornamentOf(r: Hypothesis, { timetable, note, pace }: Growth): 'none' | 'reached' | 'next' {
  const since = note.onMicros - r.atMicros;
  if (r.cursor >= 0) {
    const now = timetable.atMicros[r.cursor]! + since / pace;
    for (const p of timetable.ornamentsAt[r.cursor]!) {
      const slot = timetable.slots[p]!;
      if (isOrnamentPitch(slot.pitch, note.pitch) && now <= ornamentEnd(slot, timetable.atMicros)) {
        return 'reached';
      }
    }
  }
  const next = r.cursor + 1;
  if (next >= timetable.atMicros.length) return 'none';
  const due = r.cursor < 0 ? 0 : (timetable.atMicros[next]! - timetable.atMicros[r.cursor]!) * pace;
  if (since < due / 2 || since < due - ORNAMENT_BEFORE_MICROS) return 'none';
  for (const p of timetable.ornamentsAt[next]!) {
    const slot = timetable.slots[p]!;
    if (slot.onset !== next || slot.pitch === note.pitch) continue;
    if (isOrnamentPitch(slot.pitch, note.pitch)) return 'next';
  }
  return 'none';
}

function addChordNotes(r: Hypothesis, growth: Growth): void {
  const { timetable, note } = growth;
  const apart = note.onMicros - r.atMicros;
  // A rolled chord: each note is close to the one before it, or as late as a note may be, until the next onset is due.
  const spread = chordSurprise(note.onMicros - Math.max(r.lastMicros, r.atMicros));
  // Where nothing has come since, it is the rest of a chord that the player hesitated in.
  const alone = r.last === growth.played - 1 ? Math.min(spread, LATE_ALONE_MOST) : spread;
  const rolled = apart <= nextStep(r, growth) ? Math.min(spread, LATE_MOST) : alone;
  for (let p = timetable.firstSlot[r.cursor]!; p < firstSlotAfter(timetable, r.cursor); p++) {
    const slot = timetable.slots[p]!;
    const bit = 1 << slot.note;
    if ((r.mask & bit) !== 0) continue;
    const right = slot.pitch === note.pitch;
    if (slot.twinOf >= 0 && (r.mask & (1 << timetable.slots[slot.twinOf]!.note)) === 0) continue;
    if (!right && (!slot.required || apart > LATE_CHORD_MICROS)) continue;
    const misread = r.act === 'wrong';
    const wrong = right ? 0 : misread ? WRONG_MORE : wrongPitchSurprise(slot.pitch, note.pitch);
    const cost = r.cost + (right ? rolled : spread + wrong);
    if (cost > growth.limit) continue;
    const act = right ? 'right' : 'wrong';
    const draft = placed(r, act, p, cost, growth);
    draft.mask = r.mask | bit;
    // The next onset comes after the rest of the chord, not after a bass note long before it.
    if (slot.required && apart > LATE_CHORD_MICROS) draft.atMicros = note.onMicros;
    growth.add(draft);
  }
}

/** A note left behind that comes after all. */
function addLateNotes(r: Hypothesis, growth: Growth): void {
  const { timetable, note } = growth;
  for (const left of r.open) {
    if (timetable.slots[left.slot]!.pitch !== note.pitch) continue;
    const charge = chargeOf(left, note.onMicros);
    const since = cameLateWith(left, r) ? r.lastMicros : left.dueMicros;
    const late = chordSurprise(note.onMicros - since);
    const draft = placed(r, 'right', left.slot, r.cost - charge + late, growth);
    draft.open = r.open.length === 1 ? NONE_LEFT : r.open.filter((other) => other !== left);
    draft.pending = r.pending - charge;
    growth.add(draft);
  }
}

/** Whether the note just before was left behind as well, and was due with it: the hand is late once. */
function cameLateWith({ dueMicros }: LeftBehind, { slot, before }: Hypothesis): boolean {
  return before?.open.some((other) => other.slot === slot && other.dueMicros === dueMicros) ?? false;
}

/** Optional notes before the next onset, or a little after it: the other hand may have notes of its own meanwhile. */
function addAhead(r: Hypothesis, growth: Growth): void {
  const { timetable } = growth;
  const next = r.cursor + 1;
  for (let onset = next; onset < Math.min(next + AHEAD_ONSETS, timetable.atMicros.length); onset++) {
    if (timetable.graceCount[onset] === 0) continue;
    if (onset > next && !isAlmostDue(onset, r, growth)) return;
    addGraces(r, growth, onset);
  }
}

function isAlmostDue(onset: number, r: Hypothesis, { timetable, note, pace }: Growth): boolean {
  if (r.cursor < 0) return false;
  const due = r.atMicros + (timetable.atMicros[onset]! - timetable.atMicros[r.cursor]!) * pace;
  return due - note.onMicros <= Math.max(AHEAD_MICROS, timetable.graceCount[onset]! * GRACE_USUAL_MICROS);
}

function addGraces(r: Hypothesis, growth: Growth, onset: number): void {
  const { timetable, note } = growth;
  const isNext = onset === r.cursor + 1;
  const cost = r.cost + (isNext ? GRACE : ORNAMENT);
  if (cost > growth.limit) return;
  const before = onset === r.aheadOnset ? r.ahead : 0;
  for (let p = timetable.firstSlot[onset]!; p < firstSlotAfter(timetable, onset); p++) {
    const slot = timetable.slots[p]!;
    const bit = 1 << slot.note;
    if (!isGrace(slot) || slot.pitch !== note.pitch || (before & bit) !== 0) continue;
    const draft = placed(r, 'right', p, cost, growth);
    draft.ahead = before | bit;
    draft.aheadOnset = onset;
    if (isNext && r.ornamentAtMicros < 0) draft.ornamentAtMicros = note.onMicros;
    growth.add(draft);
  }
}
