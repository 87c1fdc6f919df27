// Going on elsewhere in the music: back to an earlier onset, or, where nothing nearby fits any more, anywhere at all.

import {
  fartherBackSurprise,
  LATE_MOST,
  missedSurprise,
  WENT_BACK,
  WENT_BACK_FROM_SLIP,
} from './evidence.ts';
import type { Growth } from './growth.ts';
import type { Hypothesis } from './hypothesis.ts';
import { NONE_LEFT } from './left-behind.ts';
import { FORWARD_TRIES, NO_ONSETS } from './moves.ts';
import { firstAtLeast, slotOfPitch } from './timetable.ts';

/** How far back every hypothesis may go; farther back only to the beginning, or by a far jump (see `addFarJumps`). */
const BACK_ONSETS = 12;
/** Deciding to go back takes some time whatever the tempo. */
const BREATH_MICROS = 100_000;

/** going back to a place nearby or to the beginning. */
export function addBack(r: Hypothesis, growth: Growth): void {
  const { timetable, note } = growth;
  const onsets = timetable.onsetsOfPitch.get(note.pitch) ?? NO_ONSETS;
  const next = Math.min(r.cursor + 1, timetable.atMicros.length - 1);
  const step = timetable.atMicros[next]! - timetable.atMicros[Math.max(0, next - 1)]!;
  // Nobody goes back without a breath: the usual time of a note and a little more.
  const silence = note.onMicros - growth.previousMicros;
  const paused = silence > 1.25 * step * Math.exp(r.logPace) + BREATH_MICROS;
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
    const cost = least + fartherBackSurprise(r.cursor - onset);
    if (cost > growth.limit) continue;
    growth.add(elsewhere(r, growth, onset, cost, true));
  }
}

/** Going on anywhere else in the music that has this pitch, however far. */
export function addFarJumps(r: Hypothesis, growth: Growth): void {
  const { timetable, note, played } = growth;
  for (const onset of timetable.onsetsOfPitch.get(note.pitch) ?? NO_ONSETS) {
    if (onset >= r.cursor - BACK_ONSETS && onset <= r.cursor + FORWARD_TRIES) continue;
    const wentBack = onset <= r.cursor;
    const skipped = timetable.requiredBefore[onset]! - timetable.requiredBefore[r.cursor + 1]!;
    const price = wentBack
      ? WENT_BACK + fartherBackSurprise(r.cursor - onset)
      : LATE_MOST + missedSurprise(skipped, growth.jumps);
    const cost = r.cost + price;
    const lost = wentBack ? r.lost : r.lost + skipped;
    growth.add({ ...elsewhere(r, growth, onset, cost, wentBack), lost, jumpedAt: played, jumpedCost: cost });
  }
}

function elsewhere(
  r: Hypothesis,
  growth: Growth,
  onset: number,
  cost: number,
  wentBack: boolean,
): Hypothesis {
  const { timetable, note, played } = growth;
  const slot = slotOfPitch(timetable, onset, note.pitch);
  return {
    before: growth.before,
    depth: r.depth + 1,
    cost,
    act: 'right',
    played,
    slot,
    wentBack,
    cursor: onset,
    atMicros: note.onMicros,
    mask: 1 << timetable.slots[slot]!.note,
    ahead: 0,
    aheadOnset: -1,
    extraAtMicros: -1,
    ornamentAtMicros: -1,
    open: NONE_LEFT,
    pending: 0,
    lost: r.lost,
    jumpedAt: r.jumpedAt,
    jumpedCost: r.jumpedCost,
    last: played,
    lastMicros: note.onMicros,
    logPace: r.logPace,
    paceVariance: r.paceVariance,
  };
}
