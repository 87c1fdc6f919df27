// Playing order: repeats, first and second endings, da capo, dal segno, coda and fine, played out to a list of
// printed bars. Common practice, no source, where the two standards are silent: after a da capo or dal segno repeats
// are not taken again and the last ending is played; each jump is taken once, after the repeats of its bar.

/** What a printed bar says about where to go. */
export interface BarRoute {
  /** A repeat begins at its start. */
  readonly repeatStart?: boolean;
  /** A repeat ends at its end; how often the section is played in all. */
  readonly repeatTimes?: number;
  /** It belongs to these endings. */
  readonly endings?: readonly number[];
  /** A new section begins at its start (double bar line): a repeat without a start goes back to here. */
  readonly sectionStart?: boolean;
  readonly segno?: boolean;
  readonly coda?: boolean;
  /** At its end, when the jump has been taken: stop. */
  readonly fine?: boolean;
  /** At its end, when the jump has been taken: on to the coda. */
  readonly toCoda?: boolean;
  /** At its end: back to the start, or to the segno. */
  readonly jump?: 'capo' | 'segno';
}

/** Longer than any score; a file with endless repeats stops here. */
export const MOST_BARS_PLAYED = 20_000;

/**
 * Indices of printed bars in the order played, or undefined where there would be over 20,000 of them.
 * @example playingOrder([{}, { endings: [1], repeatTimes: 2 }, { endings: [2] }]) // [0, 1, 0, 2]
 */
export function playingOrder(bars: readonly BarRoute[]): number[] | undefined {
  const order: number[] = [];
  const jumpsTaken = new Set<number>();
  let returning = false;
  let at = 0;
  let sectionFrom = 0;
  let pass = 1;
  while (at < bars.length) {
    const bar = bars[at]!;
    if ((bar.repeatStart || bar.sectionStart) && at !== sectionFrom) {
      sectionFrom = at;
      pass = 1;
    }
    const lastPass = lastEnding(bars, at);
    const thisPass = returning ? (lastPass ?? 1) : pass;
    if (bar.endings && !bar.endings.includes(thisPass) && bar.endings.some((e) => e !== thisPass)) {
      at += 1;
      continue;
    }
    order.push(at);
    if (order.length > MOST_BARS_PLAYED) return undefined;

    const times = lastPass ?? bar.repeatTimes ?? 1;
    if (bar.repeatTimes && !returning && pass < times) {
      pass += 1;
      at = sectionFrom;
      continue;
    }
    if (returning && bar.fine) break;
    if (returning && bar.toCoda) {
      const coda = bars.findIndex((b, i) => b.coda && i > at);
      returning = false;
      at = coda < 0 ? at + 1 : coda;
      sectionFrom = at;
      pass = 1;
      continue;
    }
    if (bar.jump && !jumpsTaken.has(at)) {
      jumpsTaken.add(at);
      returning = true;
      const segno = bar.jump === 'segno' ? bars.findIndex((b) => b.segno) : 0;
      at = Math.max(segno, 0);
      sectionFrom = at;
      pass = 1;
      continue;
    }
    if (bar.repeatTimes || (bar.endings && !bars[at + 1]?.endings)) {
      sectionFrom = at + 1;
      pass = 1;
    }
    at += 1;
  }
  return order;
}

/** The highest ending number of the group of endings that a bar belongs to. */
function lastEnding(bars: readonly BarRoute[], at: number): number | undefined {
  if (!bars[at]?.endings) return undefined;
  let last = 0;
  for (let i = at; bars[i]?.endings; i += 1) last = Math.max(last, ...bars[i]!.endings!);
  for (let i = at; bars[i]?.endings; i -= 1) last = Math.max(last, ...bars[i]!.endings!);
  return last;
}
