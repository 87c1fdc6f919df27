// What a session has to report of a take of several players: the section's verdict, and each player's own.

import type { SectionTake } from '../section/section-take.ts';
import type { SectionVerdict } from '../section/section-verdict.ts';
import type { TakeReport } from './take-report.ts';

/** The same in the form in which a section's takes are told of over many days. `day`: local. */
export function sectionTakeOf({ verdict, takes }: SectionReport, day: string): SectionTake {
  const onsets = takes.flatMap(({ line }) => line.onsets);
  return {
    day,
    clean: verdict.clean,
    players: verdict.players,
    together: verdict.together,
    onsetAt: new Map(onsets.map(({ tick, number }) => [tick, number])),
  };
}

export interface SectionReport {
  readonly verdict: SectionVerdict;
  /** In the order of the players. */
  readonly takes: readonly TakeReport[];
}
