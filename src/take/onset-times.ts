// When each expected onset was played. An onset was played rightly when all its required notes were; a chord's time
// is the median of them, its spread the last minus the first (of two hands each its own: they are judged apart).

import type { Alignment } from '../matching/alignment.ts';
import type { Expectation } from '../matching/expectation.ts';
import type { PlayedNote } from '../music/played-note.ts';
import { median } from '../statistics.ts';
import type { Strand } from './hands.ts';

export interface OnsetTimes {
  /** By onset; undefined where not played rightly. */
  readonly onsetMicros: readonly (number | undefined)[];
  /** By onset, of the notes of one hand; 0 where fewer than two of them were right. */
  readonly spreadMicros: readonly number[];
}

export function onsetTimes(
  expectation: Expectation,
  played: readonly PlayedNote[],
  alignment: Alignment,
  hands?: readonly (readonly Strand[])[],
): OnsetTimes {
  const times: number[][] = expectation.onsets.map(() => []);
  const byHand = expectation.onsets.map(() => new Map<Strand | undefined, number[]>());
  const slipped = expectation.onsets.map(() => false);
  for (const { onset, note, verdict, played: by } of alignment.notes) {
    if (verdict === 'omitted' || expectation.onsets[onset]!.notes[note]!.ornament === 'grace') continue;
    if (verdict === 'right' && by !== undefined) {
      const at = played[by]!.onMicros;
      times[onset]!.push(at);
      const hand = hands?.[onset]?.[note];
      byHand[onset]!.set(hand, [...(byHand[onset]!.get(hand) ?? []), at]);
    } else slipped[onset] = true;
  }
  return {
    onsetMicros: times.map((t, i) => (slipped[i] || t.length === 0 ? undefined : Math.round(median(t)))),
    spreadMicros: byHand.map((of) =>
      Math.max(0, ...[...of.values()].map((t) => Math.max(...t) - Math.min(...t))),
    ),
  };
}

/** The chords that were played rightly, and how far their notes stood apart. */
export function playedChords({ spreadMicros, onsetMicros }: OnsetTimes): {
  readonly onset: number;
  readonly spreadMicros: number;
}[] {
  return spreadMicros.flatMap((spread, onset) =>
    spread > 0 && onsetMicros[onset] !== undefined ? [{ onset, spreadMicros: spread }] : [],
  );
}
