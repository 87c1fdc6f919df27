// How many of a pupil's takes were judged again by who reads them, and whose judgement the others stand on.

import type { EntrySummary } from '../record/entry.ts';
import { JUDGE_VERSION } from '../take/judge-version.ts';

/** A take that came back; `judge` is that of the last who judged it. */
export interface ReturnedTake extends EntrySummary {
  /** What came of it where it was judged again here. */
  readonly again?: 'as-it-was' | 'otherwise';
}

/** How much of the judgements rests on the judge of the Fettle that reads them. */
export interface JudgedAgain {
  /** Takes with something to judge. */
  readonly of: number;
  readonly again: number;
  /** Of these, how many are clean here and were not there, or the other way round, or had other figures. */
  readonly otherwise: number;
  /** Not judged again, and judged by an earlier judge than the one of this Fettle, or by a newer one. */
  readonly earlier: number;
  readonly newer: number;
}

export function judgedAgain(takes: readonly ReturnedTake[]): JudgedAgain {
  const count = { of: 0, again: 0, otherwise: 0, earlier: 0, newer: 0 };
  for (const { verdict, again, judge } of takes) {
    if (!verdict) continue;
    count.of += 1;
    if (again) count.again += 1;
    if (again === 'otherwise') count.otherwise += 1;
    if (!again && judge < JUDGE_VERSION) count.earlier += 1;
    if (!again && judge > JUDGE_VERSION) count.newer += 1;
  }
  return count;
}

/** The sums over several pupils. */
export function judgedInAll(several: readonly { readonly judged: JudgedAgain }[]): JudgedAgain {
  const sum = (figure: keyof JudgedAgain) => several.reduce((all, { judged }) => all + judged[figure], 0);
  return {
    of: sum('of'),
    again: sum('again'),
    otherwise: sum('otherwise'),
    earlier: sum('earlier'),
    newer: sum('newer'),
  };
}
