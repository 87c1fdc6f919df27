// A month of practice, made at random from a seed: eight onsets of a line, run by run, ever faster and ever cleaner.

import { dateOf, dayNumber } from '../../src/coaching/due.ts';
import type { Entry } from '../../src/record/entry.ts';
import { Random } from '../../src/simulation/random.ts';
import { madeEntry } from '../record/made-entry.ts';

export const MONTH_FIRST = dayNumber('2026-10-26');

export function madeMonth(seed: number, more: Partial<Entry> = {}): Entry[] {
  const random = new Random(seed);
  const entries: Entry[] = [];
  for (let d = 0; d < 30; d++) {
    if (!random.chance(0.7)) continue;
    const tempoBpm = 50 + d;
    for (let k = 0; k < 14; k++) {
      const clean = random.chance(0.4 + 0.015 * d);
      const end = random.chance(0.05) ? 'skipped' : clean || random.chance(0.6) ? 'stopped' : 'slipped';
      const from = 1 + (k % 7);
      const deviationMicros = Math.round(random.normal(from === 5 ? -20_000 : 0, 12_000));
      const kind = random.pick(['wrong', 'missed', 'blip'] as const);
      entries.push(
        madeEntry(entries.length + 1, {
          date: `${dateOf(MONTH_FIRST + d)}T19:00:${String(k).padStart(2, '0')}.000+01:00`,
          tempoBpm,
          stepFirst: from,
          stepLast: from + 1,
          stepName: `beat ${from}`,
          clean: clean && end === 'stopped',
          end,
          verdict: {
            clean,
            slips: clean ? [] : [{ kind, onset: from + 1 }],
            intervals: [
              {
                from,
                to: from + 1,
                expectedMicros: 500_000,
                deviationMicros,
                clean: deviationMicros > -30_000,
              },
            ],
            pace: 1,
          },
          ...more,
        }),
      );
    }
  }
  return entries;
}
