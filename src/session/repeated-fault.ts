// The same fault take after take: then other advice is due than the sentence has given twice already.

import type { Line } from '../drills/step.ts';
import type { Trouble } from '../take/verdict.ts';

export interface RepeatedFault {
  readonly kind: Trouble['kind'];
  /** Number of the passage's onset where it was; absent where it was the take as a whole. */
  readonly onset?: number;
  /** Takes in a row. */
  readonly times: number;
}

/** So many times in a row and the advice changes; and again after as many more. */
const TIMES_BEFORE_ADVICE = 3;

/** With one more take of the step; undefined after a clean one. */
export function repeatedFault(
  before: RepeatedFault | undefined,
  trouble: Trouble | undefined,
  line: Line,
): RepeatedFault | undefined {
  if (!trouble) return undefined;
  const index = placeOf(trouble);
  const onset =
    index === undefined ? undefined : line.onsets[Math.min(index, line.onsets.length - 1)]?.number;
  const same = before?.kind === trouble.kind && before.onset === onset;
  return {
    kind: trouble.kind,
    ...(onset === undefined ? {} : { onset }),
    times: same ? before.times + 1 : 1,
  };
}

export function isAdviceDue(fault: RepeatedFault | undefined): fault is RepeatedFault {
  return fault !== undefined && fault.times % TIMES_BEFORE_ADVICE === 0;
}

function placeOf(trouble: Trouble): number | undefined {
  switch (trouble.kind) {
    case 'wrong':
    case 'missed':
    case 'displaced':
    case 'chord':
    case 'touch':
      return trouble.onset;
    case 'extra':
    case 'blip':
    case 'restart':
      return trouble.before;
    case 'rushed':
    case 'dragged':
    case 'hesitated':
      return trouble.interval.to;
    default:
      return undefined;
  }
}
