// Words that bend the tempo. They say that it changes and not how far, so nothing is made of them but a warning with
// its place; tempo marks with numbers, also those of a ritardando that a file writes out, are read as changes of tempo.

import type { FilePlace, IssueList } from '../reading.ts';

const BENDS =
  /\b(rit(\.|ard|en|\b)|rall(\.|ent|\b)|accel|string(\.|endo)|allarg|calando|morendo|smorz|poco meno|pi[uù] mosso|meno mosso|rubato|a tempo|tempo (i|1|primo))/i;

/** Warns of words in the music that bend the tempo. */
export function warnOfTempoWords(words: string, place: FilePlace, issues: IssueList): void {
  if (!BENDS.test(words)) return;
  const message = `"${words.trim().slice(0, 40)}" is left out: no number says how far the tempo changes`;
  issues.warn('tempo.words', message, place);
}
