// What a session has to report of a take of several players: the section's verdict, and each player's own.

import type { SectionVerdict } from '../section/section-verdict.ts';
import type { TakeReport } from './take-report.ts';

export interface SectionReport {
  readonly verdict: SectionVerdict;
  /** In the order of the players. */
  readonly takes: readonly TakeReport[];
}
