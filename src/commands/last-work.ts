// What was worked on the last time, for the start screen to begin with.

import type { PracticeRecord } from '../ports/practice-record.ts';
import type { LastWork } from '../screen/start-screen.ts';

const NAME = 'last work';

export function rememberWork(record: PracticeRecord, { passage, bars, tempo, drill }: LastWork): void {
  record.remember(NAME, { passage, bars, tempo, drill });
}

/** What cannot be read counts as nothing. */
export function recallWork(record: PracticeRecord): LastWork | undefined {
  const kept = record.recall(NAME);
  if (typeof kept !== 'object' || kept === null) return undefined;
  const { passage, ...others } = kept as Record<string, unknown>;
  if (typeof passage !== 'string') return undefined;
  const texts = Object.entries(others).filter(
    ([name, value]) => ['bars', 'tempo', 'drill'].includes(name) && typeof value === 'string',
  );
  return { passage, ...Object.fromEntries(texts) };
}
