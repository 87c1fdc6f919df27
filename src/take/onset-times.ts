// When each expected onset was played. An onset was played rightly when all its required notes were; a chord's time
// is the median of them, its spread the last minus the first.

import type { Alignment } from '../matching/alignment.ts';
import type { Expectation } from '../matching/expectation.ts';
import type { PlayedNote } from '../music/played-note.ts';
import { median } from '../statistics.ts';

export interface OnsetTimes {
  /** By onset; undefined where not played rightly. */
  readonly onsetMicros: readonly (number | undefined)[];
  /** By onset; 0 where fewer than two notes were right. */
  readonly spreadMicros: readonly number[];
}

export function onsetTimes(
  expectation: Expectation,
  played: readonly PlayedNote[],
  alignment: Alignment,
): OnsetTimes {
  const times: number[][] = expectation.onsets.map(() => []);
  const slipped = expectation.onsets.map(() => false);
  for (const { onset, note, verdict, played: by } of alignment.notes) {
    if (verdict === 'omitted' || expectation.onsets[onset]!.notes[note]!.ornament === 'grace') continue;
    if (verdict === 'right' && by !== undefined) times[onset]!.push(played[by]!.onMicros);
    else slipped[onset] = true;
  }
  return {
    onsetMicros: times.map((t, i) => (slipped[i] || t.length === 0 ? undefined : Math.round(median(t)))),
    spreadMicros: times.map((t) => (t.length < 2 ? 0 : Math.max(...t) - Math.min(...t))),
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
