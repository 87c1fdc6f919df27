// What was worked on the last time, for the start screen to begin with.

import type { PracticeRecord } from '../ports/practice-record.ts';
import type { LastWork } from '../screen/start-choice.ts';

const NAME = 'last work';

export function rememberWork(
  record: PracticeRecord,
  { passage, part, bars, tempo, drill, minutes }: LastWork,
): void {
  record.remember(NAME, { passage, part, bars, tempo, drill, minutes });
}

/** Of what was asked for, what is remembered. */
export function workToRemember(
  passage: string,
  { part, bars, tempo, drill, minutes }: Partial<LastWork>,
): LastWork {
  return {
    passage,
    ...(part === undefined ? {} : { part }),
    ...(bars === undefined ? {} : { bars }),
    ...(tempo === undefined ? {} : { tempo }),
    ...(drill === undefined ? {} : { drill }),
    ...(minutes === undefined ? {} : { minutes }),
  };
}

/** What cannot be read counts as nothing. */
export function recallWork(record: PracticeRecord): LastWork | undefined {
  const kept = record.recall(NAME);
  if (typeof kept !== 'object' || kept === null) return undefined;
  const { passage, ...others } = kept as Record<string, unknown>;
  if (typeof passage !== 'string') return undefined;
  const texts = Object.entries(others).filter(
    ([name, value]) =>
      ['part', 'bars', 'tempo', 'drill', 'minutes'].includes(name) && typeof value === 'string',
  );
  return { passage, ...Object.fromEntries(texts) };
}
