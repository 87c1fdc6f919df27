// A player of whom only the success curve is known: the chance of a clean take falls with tempo along a logistic
// curve over the logarithm of the tempo.

export interface SuccessCurve {
  /** Tempo at which half of the takes are clean. */
  readonly halfBpm: number;
  /** Width of the curve, in natural logarithms of tempo. */
  readonly width: number;
}

export function chanceOfClean({ halfBpm, width }: SuccessCurve, bpm: number): number {
  return 1 / (1 + Math.exp(Math.log(bpm / halfBpm) / width));
}

/** The tempo at which a take is clean with a given chance: the inverse of `chanceOfClean`. */
export function bpmOfChance({ halfBpm, width }: SuccessCurve, chance: number): number {
  return halfBpm * Math.exp(-width * Math.log(chance / (1 - chance)));
}

/** Numbers from 0 to 1 from a seed: mulberry32 (T. Ettinger, public domain; from memory). */
export function lots(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  };
}
