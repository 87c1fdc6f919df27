// Recorded takes that play in one section. Recorded at one time, by one clock, they keep their places to each other: who
// was ahead stays ahead. Whether they were is seen from where each would have to begin for its first note to fall on its
// first onset: nearly the same for all, or not.

import { median } from '../statistics.ts';

/** Beginnings further apart than a player may be from the others are those of recordings made each by itself. */
const LIKELIEST_APART_MICROS = 250_000;

interface Waiting {
  /** The moment of the recording's zero that puts its first note on its first onset; undefined where it rests. */
  readonly ownZeroMicros: number | undefined;
  readonly begin: (zeroMicros: number) => void;
}

/** Waits until all of them know what is asked for first. */
export class Recordings {
  #size = 0;
  #waiting: Waiting[] = [];

  enter(): void {
    this.#size += 1;
  }

  /** One that rests and was recorded by itself does not begin yet: it joins again with the next step. */
  join(waiting: Waiting): void {
    this.#waiting.push(waiting);
    if (this.#waiting.length < this.#size) return;
    const all = this.#waiting;
    this.#waiting = [];
    const zeros = all.flatMap(({ ownZeroMicros }) => ownZeroMicros ?? []);
    if (zeros.length === 0) return;
    const areOne = Math.max(...zeros) - Math.min(...zeros) <= LIKELIEST_APART_MICROS;
    const common = Math.round(median(zeros));
    for (const { ownZeroMicros, begin } of all) {
      const zero = areOne && zeros.length > 1 ? common : ownZeroMicros;
      if (zero !== undefined) begin(zero);
    }
  }
}
