// The tempo of a recording that nobody named: the grid is tried at tempi all around the one that was assumed, and the
// plainest rhythm that the notes fit closely says which it was.

import { beatTicks, type Meter } from '../../music/meter.ts';
import { ticksToMicros } from '../../music/tempo.ts';
import { type CapturedNote, type Quantised, quantise } from './quantise.ts';

/** Spread beyond which the grid means little: the quantiser is sure up to some 30 ms. */
const LOOSE_MICROS = 45_000;
/** Less sure than this, a place is doubtful. */
export const DOUBTFUL = 0.9;
/** More doubtful onsets than this, and the rhythm as a whole is in doubt. */
const DOUBTFUL_SHARE = 0.25;
/** The quantiser finds a tempo that is some 10 % off; a semitone's ratio leaves no gap. */
const STRIDE = 2 ** (1 / 12);
/** So many notes of a take are tried. */
const MOST_NOTES_HEARD = 1000;
/** Tempi are tried from half to twice the assumed one. */
const STRIDES = 12;

/** Whether too much of a rhythm is uncertain for the grid to be believed. */
export function isUncertain({ onsets, sdMicros }: Quantised): boolean {
  const doubtful = onsets.filter(({ certainty }) => certainty < DOUBTFUL).length;
  return sdMicros > LOOSE_MICROS || doubtful > DOUBTFUL_SHARE * onsets.length;
}

/**
 * Whole beats a minute at which the notes make the plainest certain rhythm, the nearest to `bpm` among equals;
 * undefined where there is none.
 */
export function likelyTempo(
  notes: readonly CapturedNote[],
  {
    bpm,
    meter,
    pickupTicks = 0,
  }: { readonly bpm: number; readonly meter: Meter; readonly pickupTicks?: number },
): number | undefined {
  if (notes.length === 0) return undefined;
  // The beginning says what the tempo is; of a long take the rest would only take time.
  const heard = [...notes].sort((a, b) => a.onMicros - b.onMicros).slice(0, MOST_NOTES_HEARD);
  const first = heard[0]!.onMicros;
  let best: { bpm: number; plainness: number } | undefined;
  // From the nearest outwards, so that of two that are equally plain the nearer is kept.
  const strides = Array.from(
    { length: 2 * STRIDES + 1 },
    (_, i) => Math.ceil(i / 2) * (i % 2 === 0 ? 1 : -1),
  );
  for (const stride of strides) {
    const tempo = { bpm: bpm * STRIDE ** stride, beatTicks: beatTicks(meter) };
    const zeroMicros = first + ticksToMicros(pickupTicks, tempo);
    const read = quantise(heard, { tempo, meter, zeroMicros, pulse: 'free' });
    if (isUncertain(read)) continue;
    const found = Math.round(read.tempoBpm);
    const plainness = plainnessOf(read, beatTicks(meter) / 2);
    if (!best || plainness > best.plainness) best = { bpm: found, plainness };
  }
  return best?.bpm;
}

/** The share of onsets on a half of a beat. */
function plainnessOf({ onsets }: Quantised, half: number): number {
  return onsets.filter(({ tick }) => tick % half === 0).length / onsets.length;
}
