// From a model's take to its verdict through the real matcher and judge.

import { align } from '../../src/matching/align.ts';
import type { Tempo } from '../../src/music/tempo.ts';
import type { ModelTake } from '../../src/simulation/play-take.ts';
import type { ModelOnset } from '../../src/simulation/slip.ts';
import { judge } from '../../src/take/judge.ts';
import { TOLERANCES } from '../../src/take/tolerance.ts';
import type { TakeVerdict } from '../../src/take/verdict.ts';

/** Tick 0 at 4 s, as planted-cases.ts plays. */
export function judged(
  onsets: readonly ModelOnset[],
  { tempo, click, take }: { readonly tempo: Tempo; readonly click: boolean; readonly take: ModelTake },
): TakeVerdict {
  const pulse = click ? ('click' as const) : ('free' as const);
  const expectation = { onsets, tempo, pulse, ...(click ? { zeroMicros: 4_000_000 } : {}) };
  return judge(expectation, take.notes, align(expectation, take.notes), { tolerance: TOLERANCES.steady });
}
