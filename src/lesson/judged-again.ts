// How many of a pupil's takes were judged again by who reads them.

/** How much of the kept judgements rests on the judge of the Fettle that reads it. */
export interface JudgedAgain {
  /** Takes with something to judge. */
  readonly of: number;
  readonly again: number;
  /** Of these, how many are clean here and were not there, or the other way round, or had other figures. */
  readonly otherwise: number;
}

/** The sums over several returns or pupils. */
export function judgedInAll(several: readonly { readonly judged: JudgedAgain }[]): JudgedAgain {
  const sum = (figure: keyof JudgedAgain) => several.reduce((all, { judged }) => all + judged[figure], 0);
  return { of: sum('of'), again: sum('again'), otherwise: sum('otherwise') };
}
