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
  TURNS_LEFT_OUT,
  unfinishedSurprise,
  wrongPitchSurprise,
} from './evidence.ts';
import { type Growth, placed } from './growth.ts';
import { bitCount, type Hypothesis, type HypothesisDraft, reach } from './hypothesis.ts';
import { chargesOf, NONE_LEFT, unpaid } from './left-behind.ts';
import { NOTHING_PASSED, passedOver } from './passed-over.ts';
import { firstAtLeast, firstSlotAfter, slotOfPitch } from './timetable.ts';

export const NO_ONSETS: readonly number[] = [];
/**
 * So many next onsets with the pitch are tried, and those where the clock says that the player should be. Judgement.
 */
export const FORWARD_TRIES = 3;
/** Nobody counts the turns of a tremolo: so quick are its notes at most, and so many may be left out. Judgement. */
const TREMOLO_MICROS = 130_000;
const TREMOLO_SKIPPED_MOST = 8;
/** Ornaments are quick: a longer gap than this ends one. Judgement. */
const ORNAMENT_GAP_MICROS = 300_000;
/**
 * An interval off by more standard deviations than this is a hesitation or a slip and says nothing of the pace
 * (judgement). But the pace itself may be wrong, when a long first note set it: so it is doubted a little, and the next
 * interval counts for more.
 */
const PACE_STEP_MOST = 3;
/** Such an interval adds this share of the square of how far it was off to the variance of the pace. Fitted. */
const PACE_DOUBTED = 0.05;

export function addForward(r: Hypothesis, growth: Growth): void {
  const { timetable, note } = growth;
  const next = r.cursor + 1;
  const onsets = timetable.onsetsOfPitch.get(note.pitch) ?? NO_ONSETS;
  const from = firstAtLeast(onsets, next);
  const near = Math.min(onsets.length, from + FORWARD_TRIES);
  for (let k = from; k < near; k++) addMove(r, growth, onsets[k]!);
  if (r.cursor >= 0 && near < onsets.length) {
    const elapsed = (note.onMicros - r.atMicros) / growth.pace;
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
  const { timetable, note } = growth;
  const left = r.cursor < 0 ? 0 : bitCount(timetable.requiredMask[r.cursor]! & ~r.mask);
  const skipped = timetable.requiredBefore[onset]! - timetable.requiredBefore[r.cursor + 1]!;
  const skippedCost = skipsTremolo(r, growth, onset)
    ? TURNS_LEFT_OUT
    : skippedSurprise(left, { count: skipped, onsets: onset - r.cursor - 1 }, growth.jumps);
  const leftCost = unfinishedSurprise(left);
  const slot = wrongSlot >= 0 ? wrongSlot : slotOfPitch(timetable, onset, note.pitch);
  const each = { left: leftCost / left, skipped: skippedCost / skipped };
  const { mayCome, surprise } =
    left + skipped === 0 ? NOTHING_PASSED : passedOver(r, growth, timetable.slots[slot]!, each);
  const { pending } = chargesOf(mayCome, note.onMicros);
  const slips = r.cost + pitchSurprise + leftCost + skippedCost + surprise - unpaid(mayCome, pending);
  if (slips > growth.limit) return;
  // If the ornament's last note was long before, it was an added note after all.
  const apart =
    r.act === 'ornament' &&
    r.ornamentAtMicros >= 0 &&
    note.onMicros - growth.previousMicros > ORNAMENT_GAP_MICROS;
  const time = r.cursor < 0 ? NO_TIME : timeOfMove(r, growth, onset, skipped);
  const cost = slips + time.surprise + (apart ? EXTRA - ORNAMENT : 0);
  if (cost > growth.limit) return;
  const draft = placed(r, pitchSurprise > 0 ? 'wrong' : 'right', slot, cost, growth);
  reach(draft, onset, 1 << timetable.slots[slot]!.note);
  draft.atMicros = time.byOrnament ? r.ornamentAtMicros : note.onMicros;
  if (mayCome !== NONE_LEFT) draft.open = r.open.length === 0 ? mayCome : [...r.open, ...mayCome];
  draft.pending = r.pending + pending;
  draft.lost = r.lost + left + skipped - mayCome.length;
  if (r.cursor >= 0) hearPace(draft, r, growth, onset, skipped);
  growth.add(draft);
}

/** Whether the notes passed over are turns of a quick tremolo or trill that goes on: of its two notes and no other. */
function skipsTremolo(r: Hypothesis, { timetable, note, pace }: Growth, onset: number): boolean {
  const first = r.cursor + 1;
  if (r.cursor < 0 || onset - first < 2 || onset - first > TREMOLO_SKIPPED_MOST) return false;
  const begin = timetable.slots[timetable.firstSlot[r.cursor]!]!.pitch;
  if (begin === note.pitch) return false;
  const took = (timetable.atMicros[onset]! - timetable.atMicros[r.cursor]!) * pace;
  if (took > (onset - r.cursor) * TREMOLO_MICROS) return false;
  for (let p = timetable.firstSlot[first]!; p < timetable.firstSlot[onset]!; p++) {
    const { pitch, required } = timetable.slots[p]!;
    if (required && pitch !== begin && pitch !== note.pitch) return false;
  }
  return true;
}

/**
 * What skipped notes cost together; with an unfinished chord before them the first of them is cheaper too, as one slip.
 */
function skippedSurprise(
  left: number,
  skipped: { readonly count: number; readonly onsets: number },
  jumps: Jumps,
): number {
  const surprise = missedSurprise(skipped, jumps);
  return left > 0 && skipped.count > 0 ? surprise - (MISSED - MISSED_MORE) : surprise;
}

interface MoveTime {
  readonly surprise: number;
  /** True when the onset began with the ornament before its written note. */
  readonly byOrnament: boolean;
}

const NO_TIME: MoveTime = { surprise: 0, byOrnament: false };

/** The surprise at the time of this note: the least over the ways in which a slip before it can have shifted it. */
function timeOfMove(
  r: Hypothesis,
  { timetable, note, pace }: Growth,
  onset: number,
  skipped: number,
): MoveTime {
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
function hearPace(
  draft: HypothesisDraft,
  r: Hypothesis,
  { timetable, note, pace }: Growth,
  onset: number,
  skipped: number,
): void {
  const paceVariance = r.paceVariance + PACE_WANDER;
  draft.paceVariance = paceVariance;
  const asked = timetable.atMicros[onset]! - timetable.atMicros[r.cursor]!;
  if (asked <= 0 || skipped > 0 || r.extraAtMicros >= 0 || r.ornamentAtMicros >= 0) return;
  const expected = asked * pace;
  const noise = paceNoise(expected);
  const d = Math.log(Math.max(note.onMicros - r.atMicros, expected * 0.2) / asked) - r.logPace;
  if (Math.abs(d) >= PACE_STEP_MOST * Math.sqrt(noise + paceVariance)) {
    draft.paceVariance = paceVariance + PACE_DOUBTED * d * d;
    return;
  }
  const gain = paceVariance / (paceVariance + noise);
  draft.logPace = r.logPace + gain * d;
  draft.paceVariance = paceVariance * (1 - gain);
}
