// The same fault take after take: then other advice is due than the sentence has given twice already.

import type { Line } from '../drills/step.ts';
import { troublePlace } from '../take/trouble-place.ts';
import type { Trouble } from '../take/verdict.ts';

type TroubleKind = Trouble['kind'];

export interface RepeatedFault {
  readonly kind: TroubleKind;
  /** Number of the passage's onset where it was; absent where it was the take as a whole. */
  readonly onset?: number;
  /** Takes in a row. */
  readonly times: number;
}

/** Nothing was played, or the instrument is set otherwise: there is no other advice than the sentence's own. */
const ONLY_ONE_ADVICE = ['silent', 'octave', 'transposed'] as const satisfies readonly TroubleKind[];

export type AdvisedKind = Exclude<TroubleKind, (typeof ONLY_ONE_ADVICE)[number]>;

export interface AdvisedFault extends RepeatedFault {
  readonly kind: AdvisedKind;
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
  const index = troublePlace(trouble);
  const onset =
    index === undefined ? undefined : line.onsets[Math.min(index, line.onsets.length - 1)]?.number;
  const same = before?.kind === trouble.kind && before.onset === onset;
  return {
    kind: trouble.kind,
    ...(onset === undefined ? {} : { onset }),
    times: same ? before.times + 1 : 1,
  };
}

export function isAdviceDue(fault: RepeatedFault | undefined): fault is AdvisedFault {
  if (fault === undefined || fault.times % TIMES_BEFORE_ADVICE !== 0) return false;
  return !ONLY_ONE_ADVICE.some((kind) => kind === fault.kind);
}

/** Who comes in a beat early, or is set in another octave, plays no better for a slower tempo. */
const NOT_OF_TEMPO: readonly TroubleKind[] = [
  ...ONLY_ONE_ADVICE,
  'entered',
  'ran-on',
  'stopped-short',
  'tied-over',
  'clipped',
];

export function isHelpedBySlower({ kind, times }: RepeatedFault): boolean {
  return times < TIMES_BEFORE_ADVICE || !NOT_OF_TEMPO.includes(kind);
}
