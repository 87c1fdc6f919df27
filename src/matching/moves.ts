// Moving on to a later onset.

import {
  EXTRA,
  intervalSurprise,
  type Jumps,
  MISSED,
  MISSED_MORE,
  missedSurprise,
  ORNAMENT,
  PACE_WANDER,
  paceNoise,
  SHIFTED,
  unfinishedSurprise,
  wrongPitchSurprise,
} from './evidence.ts';
import type { Growth } from './growth.ts';
import { aheadAfter, bitCount, type Hypothesis } from './hypothesis.ts';
import { chargesOf, LATE_CHORD_MICROS, type LeftBehind, NONE_LEFT, unpaid } from './left-behind.ts';
import { firstAtLeast, firstSlotAfter, slotOfPitch } from './timetable.ts';

export const NO_ONSETS: readonly number[] = [];
/** The next places of a pitch that are tried; farther ones only where the clock says the player should be. */
export const FORWARD_TRIES = 3;
/** Ornaments are quick: a longer gap than this ends one. */
const ORNAMENT_GAP_MICROS = 300_000;
/**
 * Beyond so many standard deviations an interval is a hesitation or a slip and no news of the pace. But it may be the
 * pace that is wrong (a long first note set it): then the next interval says so again, so the pace is doubted a little.
 */
const PACE_STEP_MOST = 3;
/** By this share of how far the interval was off (of its square, added to the variance). Fitted. */
const PACE_DOUBTED = 0.05;

export function addForward(r: Hypothesis, growth: Growth): void {
  const { timetable, note } = growth;
  const next = r.cursor + 1;
  const onsets = timetable.onsetsOfPitch.get(note.pitch) ?? NO_ONSETS;
  const from = firstAtLeast(onsets, next);
  const near = Math.min(onsets.length, from + FORWARD_TRIES);
  for (let k = from; k < near; k++) addMove(r, growth, onsets[k]!);
  if (r.cursor >= 0 && near < onsets.length) {
    const elapsed = (note.onMicros - r.atMicros) / Math.exp(r.logPace);
    const byClock = firstAtLeast(timetable.atMicros, timetable.atMicros[r.cursor]! + elapsed);
    const there = firstAtLeast(onsets, byClock);
    for (let k = Math.max(near, there - 1); k < Math.min(onsets.length, there + 1); k++) {
      addMove(r, growth, onsets[k]!);
    }
  }
  for (let p = timetable.firstSlot[next]!; p < firstSlotAfter(timetable, next); p++) {
    const slot = timetable.slots[p]!;
    if (!slot.required || slot.pitch === note.pitch) continue;
    addMove(r, growth, next, p, wrongPitchSurprise(slot.pitch, note.pitch));
  }
}

/** Moves on to an onset; the notes in between are passed over. */
function addMove(r: Hypothesis, growth: Growth, onset: number, wrongSlot = -1, pitchSurprise = 0): void {
  const { timetable, note, played } = growth;
  const left = r.cursor < 0 ? 0 : bitCount(timetable.requiredMask[r.cursor]! & ~r.mask);
  const skipped = timetable.requiredBefore[onset]! - timetable.requiredBefore[r.cursor + 1]!;
  const skippedCost = skippedSurprise(left, skipped, growth.jumps);
  const leftCost = unfinishedSurprise(left);
  const mayCome =
    left + skipped === 0 ? NONE_LEFT : mayStillCome(r, growth, onset, leftCost / left, skippedCost / skipped);
  const { pending } = chargesOf(mayCome, note.onMicros);
  const slips = r.cost + pitchSurprise + leftCost + skippedCost - unpaid(mayCome, pending);
  if (slips > growth.limit) return;
  // An added note long before belonged to no ornament.
  const apart = r.ornamentAtMicros >= 0 && note.onMicros - growth.previousMicros > ORNAMENT_GAP_MICROS;
  const time = r.cursor < 0 ? NO_TIME : timeOfMove(r, growth, onset, skipped);
  const cost = slips + time.surprise + (apart ? EXTRA - ORNAMENT : 0);
  if (cost > growth.limit) return;
  const slot = wrongSlot >= 0 ? wrongSlot : slotOfPitch(timetable, onset, note.pitch);
  growth.add({
    before: growth.before,
    depth: r.depth + 1,
    cost,
    act: pitchSurprise > 0 ? 'wrong' : 'right',
    played,
    slot,
    wentBack: false,
    cursor: onset,
    atMicros: time.byOrnament ? r.ornamentAtMicros : note.onMicros,
    mask: (1 << timetable.slots[slot]!.note) | (onset === r.aheadOnset ? r.ahead : 0),
    ...aheadAfter(r, onset),
    extraAtMicros: -1,
    ornamentAtMicros: -1,
    open: mayCome === NONE_LEFT ? r.open : [...r.open, ...mayCome],
    pending: r.pending + pending,
    lost: r.lost + left + skipped - mayCome.length,
    jumpedAt: r.jumpedAt,
    jumpedCost: r.jumpedCost,
    last: played,
    lastMicros: note.onMicros,
    ...paceAfter(r, growth, onset, skipped),
  });
}

/** What skipped notes cost together. Those skipped with notes of an unfinished chord went missing with them. */
function skippedSurprise(left: number, skipped: number, jumps: Jumps): number {
  const surprise = missedSurprise(skipped, jumps);
  return left > 0 && skipped > 0 ? surprise - (MISSED - MISSED_MORE) : surprise;
}

/** The notes passed over that may still come; those skipped share their price evenly. */
function mayStillCome(
  r: Hypothesis,
  growth: Growth,
  onset: number,
  leftPrice: number,
  skippedPrice: number,
): readonly LeftBehind[] {
  const { timetable, note } = growth;
  const pace = Math.exp(r.logPace);
  const open: LeftBehind[] = [];
  for (let o = onset - 1; o >= Math.max(0, r.cursor); o--) {
    const back = timetable.atMicros[onset]! - timetable.atMicros[o]!;
    const dueMicros = o === r.cursor ? r.atMicros : note.onMicros - back * pace;
    if (note.onMicros - dueMicros > LATE_CHORD_MICROS) break;
    for (let p = timetable.firstSlot[o]!; p < firstSlotAfter(timetable, o); p++) {
      const slot = timetable.slots[p]!;
      if (!slot.required || (o === r.cursor && (r.mask & (1 << slot.note)) !== 0)) continue;
      open.push({ slot: p, price: o === r.cursor ? leftPrice : skippedPrice, dueMicros });
    }
  }
  return open.length > 0 ? open : NONE_LEFT;
}

interface MoveTime {
  readonly surprise: number;
  /** True when the onset began with the ornament before its written note. */
  readonly byOrnament: boolean;
}

const NO_TIME: MoveTime = { surprise: 0, byOrnament: false };

/** The least surprise at the time, over the ways in which a slip can have shifted it. */
function timeOfMove(r: Hypothesis, { timetable, note }: Growth, onset: number, skipped: number): MoveTime {
  const pace = Math.exp(r.logPace);
  const looseness = { paceSd: Math.sqrt(r.paceVariance), singleLine: timetable.singleLine };
  const from = timetable.atMicros[r.cursor]!;
  const expected = (timetable.atMicros[onset]! - from) * pace;
  const took = note.onMicros - r.atMicros;
  let surprise = intervalSurprise(took, expected, looseness);
  if (skipped > 0) {
    // The time of the skipped notes skipped with them.
    const step = (timetable.atMicros[r.cursor + 1]! - from) * pace;
    surprise = Math.min(surprise, SHIFTED + intervalSurprise(took, step, looseness));
  }
  if (r.extraAtMicros >= 0) {
    // The added note took this one's time, and this one came after it.
    const shifted = intervalSurprise(r.extraAtMicros - r.atMicros, expected, looseness);
    surprise = Math.min(surprise, SHIFTED + shifted);
  }
  if (r.ornamentAtMicros >= 0) {
    const begun = intervalSurprise(r.ornamentAtMicros - r.atMicros, expected, looseness);
    if (begun < surprise) return { surprise: begun, byOrnament: true };
  }
  return { surprise, byOrnament: false };
}

/** What an interval says of the pace: a Kalman filter on its logarithm. */
function paceAfter(
  r: Hypothesis,
  { timetable, note }: Growth,
  onset: number,
  skipped: number,
): { logPace: number; paceVariance: number } {
  if (r.cursor < 0) return { logPace: r.logPace, paceVariance: r.paceVariance };
  const paceVariance = r.paceVariance + PACE_WANDER;
  const asked = timetable.atMicros[onset]! - timetable.atMicros[r.cursor]!;
  const known = { logPace: r.logPace, paceVariance };
  if (asked <= 0 || skipped > 0 || r.extraAtMicros >= 0 || r.ornamentAtMicros >= 0) return known;
  const expected = asked * Math.exp(r.logPace);
  const noise = paceNoise(expected);
  const d = Math.log(Math.max(note.onMicros - r.atMicros, expected * 0.2) / asked) - r.logPace;
  if (Math.abs(d) >= PACE_STEP_MOST * Math.sqrt(noise + paceVariance)) {
    return { logPace: r.logPace, paceVariance: paceVariance + PACE_DOUBTED * d * d };
  }
  const gain = paceVariance / (paceVariance + noise);
  return { logPace: r.logPace + gain * d, paceVariance: paceVariance * (1 - gain) };
}
