// Going on elsewhere in the music: back to an earlier onset, or, where nothing nearby fits any more, anywhere at all.

import {
  fartherBackSurprise,
  LATE_MOST,
  missedSurprise,
  WENT_BACK,
  WENT_BACK_FROM_SLIP,
} from './evidence.ts';
import { type Growth, placed } from './growth.ts';
import { type Hypothesis, type HypothesisDraft, reach } from './hypothesis.ts';
import { NONE_LEFT } from './left-behind.ts';
import { FORWARD_TRIES, NO_ONSETS } from './moves.ts';
import { firstAtLeast, slotOfPitch } from './timetable.ts';

/**
 * How many onsets back any hypothesis may go; farther only to the beginning or by a far jump (`addFarJumps`).
 * Judgement.
 */
const BACK_ONSETS = 12;
/** Deciding to go back takes so long whatever the tempo. Judgement. */
const BREATH_MICROS = 100_000;

/** Going back to a place nearby or to the beginning. */
export function addBack(r: Hypothesis, growth: Growth): void {
  const { timetable, note } = growth;
  const onsets = timetable.onsetsOfPitch.get(note.pitch) ?? NO_ONSETS;
  const next = Math.min(r.cursor + 1, timetable.atMicros.length - 1);
  const step = timetable.atMicros[next]! - timetable.atMicros[Math.max(0, next - 1)]!;
  // People pause before they go back: a note's usual time and a little more.
  const silence = note.onMicros - growth.previousMicros;
  const paused = silence > 1.25 * step * growth.pace + BREATH_MICROS;
  const slipped = paused && (r.act === 'wrong' || r.act === 'extra');
  const atOnce = paused ? 0 : growth.jumps.wentBackAtOnce;
  const least = r.cost + (slipped ? WENT_BACK_FROM_SLIP : WENT_BACK) + atOnce;
  if (least > growth.limit) return;
  for (let k = firstAtLeast(onsets, r.cursor + 1) - 1; k >= 0; k--) {
    const onset = onsets[k]!;
    if (onset > 0 && onset < r.cursor - BACK_ONSETS) {
      if (onsets[0] !== 0) return;
      k = 1;
      continue;
    }
    const began =
      slipped && r.act === 'extra' && beganBack(onset, growth) ? WENT_BACK - WENT_BACK_FROM_SLIP : 0;
    const cost = least + began + fartherBackSurprise(r.cursor - onset);
    if (cost > growth.limit) continue;
    growth.add(elsewhere(r, growth, onset, cost, true));
  }
}

/** Whether the note before was that of the onset before: then the player had gone back with it, and it is no slip. */
function beganBack(onset: number, { timetable, previousPitch }: Growth): boolean {
  for (let p = timetable.firstSlot[onset - 1] ?? 0; p < timetable.firstSlot[onset]!; p++)
    if (timetable.slots[p]!.required && timetable.slots[p]!.pitch === previousPitch) return true;
  return false;
}

/** Going on anywhere else in the music where this pitch stands, however far. */
export function addFarJumps(r: Hypothesis, growth: Growth): void {
  const { timetable, note, played } = growth;
  for (const onset of timetable.onsetsOfPitch.get(note.pitch) ?? NO_ONSETS) {
    if (onset >= r.cursor - BACK_ONSETS && onset <= r.cursor + FORWARD_TRIES) continue;
    const wentBack = onset <= r.cursor;
    const skipped = timetable.requiredBefore[onset]! - timetable.requiredBefore[r.cursor + 1]!;
    const price = wentBack
      ? WENT_BACK + fartherBackSurprise(r.cursor - onset)
      : (r.cursor < 0 ? 0 : LATE_MOST) +
        missedSurprise({ count: skipped, onsets: onset - r.cursor - 1 }, growth.jumps);
    const jumped = elsewhere(r, growth, onset, r.cost + price, wentBack);
    if (!wentBack) jumped.lost += skipped;
    jumped.slipped = true;
    jumped.jumpedAt = played;
    jumped.jumpedCost = jumped.cost;
    growth.add(jumped);
  }
}

function elsewhere(
  r: Hypothesis,
  growth: Growth,
  onset: number,
  cost: number,
  wentBack: boolean,
): HypothesisDraft {
  const { timetable, note } = growth;
  const slot = slotOfPitch(timetable, onset, note.pitch);
  const draft = placed(r, 'right', slot, cost, growth);
  draft.aheadOnset = -1;
  reach(draft, onset, 1 << timetable.slots[slot]!.note);
  draft.wentBack = wentBack;
  draft.atMicros = note.onMicros;
  draft.open = NONE_LEFT;
  draft.pending = 0;
  return draft;
}
