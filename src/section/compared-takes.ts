// Takes that players had at stations of their own, each to its own click, put together afterwards: as if they had all
// played at once. For players who are too far from each other to play together live.

import { foldTake, type KeptPlaying } from '../take/fold.ts';
import type { TakeResult } from '../take/result.ts';
import { startLine, type Take } from '../take/take.ts';
import { type SectionVerdict, sectionVerdict } from './section-verdict.ts';

export interface StationTake {
  readonly player: string;
  /** Of a step that keeps the beat, the same step as the others' at the same tempo. */
  readonly playing: KeptPlaying;
}

export interface ComparedTakes {
  readonly verdict: SectionVerdict;
  /** In the order of the players. */
  readonly results: readonly TakeResult[];
}

/** The section's verdict: everybody counts. */
export function comparedTakes(stations: readonly StationTake[]): ComparedTakes {
  const playings = stations.map(({ playing }) => fromItsClick(playing));
  const results = playings.map(foldTake);
  const { run } = playings[0]!.terms;
  const take: Take = {
    run,
    attempt: 1,
    zeroMicros: 0,
    beginMicros: 0,
    unstopped: true,
    lines: playings.map(({ terms }) => startLine(terms)),
  };
  const heard = stations.map(({ player }, i) => ({
    name: player,
    attendance: 'counted' as const,
    calibrated: playings[i]!.terms.lagMicros !== 0,
    result: results[i]!,
  }));
  const counted = heard.length;
  const clean = results.every((result) => result.clean);
  return { verdict: sectionVerdict(take, heard, { clean, needed: counted, counted }), results };
}

/** Moved in time so that its own click begins at 0: the only moment that the stations share. */
function fromItsClick({ terms, events, untilMicros, stop }: KeptPlaying): KeptPlaying {
  const { zeroMicros } = terms;
  return {
    terms: { ...terms, zeroMicros: 0, opensMicros: terms.opensMicros - zeroMicros },
    events: events.map((event) => ({ ...event, at: event.at - zeroMicros })),
    untilMicros: untilMicros - zeroMicros,
    stop,
  };
}
