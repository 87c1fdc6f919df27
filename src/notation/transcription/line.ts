// The player's line through a take: constant lag and pace by a robust straight line, and the slow wander about it by
// a local mean that leaves the beat in question out, so that a wrong place does not vouch for itself.

export interface PlacedStrike {
  /** Microseconds from zero, as played. */
  readonly atMicros: number;
  /** Where its place is at the asked tempo, microseconds from zero. */
  readonly placeMicros: number;
  readonly beat: number;
}

export interface PlayerLine {
  /** At zero; positive = late. */
  readonly lagMicros: number;
  /** Share by which the played beat is longer than the one asked; positive = slower. */
  readonly slower: number;
  /** Robust standard deviation of the strikes about line and wander. */
  readonly sdMicros: number;
  /** How late the player is at a beat, judged from the other beats; microseconds. */
  latenessMicros(beat: number): number;
}

/** How far the local mean reaches, in beats, and how many strikes' weight the straight line has against it. */
const REACH_BEATS = 3;
const LINE_WEIGHT = 2.5;

export function fitLine(
  strikes: readonly PlacedStrike[],
  beatMicros: number,
  prior: { readonly sdMicros: number; readonly rateSd: number },
): PlayerLine {
  const { lag, rate } = robustLine(strikes, prior, beatMicros);
  const rests = strikes.map((s) => ({
    beat: s.placeMicros / beatMicros,
    own: s.beat,
    rest: s.atMicros - s.placeMicros - lag - rate * s.placeMicros,
  }));
  const wanderAt = (beat: number): number => {
    let sum = 0;
    let weight = LINE_WEIGHT;
    const middle = beat + 0.5;
    for (let i = firstFrom(rests, middle - 4 * REACH_BEATS); i < rests.length; i++) {
      const r = rests[i]!;
      if (r.beat > middle + 4 * REACH_BEATS) break;
      if (r.own === beat) continue;
      const w = Math.exp(-Math.abs(r.beat - middle) / REACH_BEATS);
      sum += w * Math.max(-3 * prior.sdMicros, Math.min(3 * prior.sdMicros, r.rest));
      weight += w;
    }
    return sum / weight;
  };
  const wander = new Map<number, number>();
  const wanderOf = (beat: number) => {
    const known = wander.get(beat);
    if (known !== undefined) return known;
    const value = wanderAt(beat);
    wander.set(beat, value);
    return value;
  };
  const spreads = rests.map((r) => Math.abs(r.rest - wanderOf(r.own))).sort((a, b) => a - b);
  // Median absolute deviation * 1.4826 is the SD of a Gaussian; eight strikes' worth of the prior steadies few notes.
  const mad = spreads.length === 0 ? prior.sdMicros : 1.4826 * spreads[spreads.length >> 1]!;
  const sd = Math.sqrt((mad ** 2 * spreads.length + 8 * prior.sdMicros ** 2) / (spreads.length + 8));
  return {
    lagMicros: Math.round(lag),
    slower: rate,
    sdMicros: sd,
    latenessMicros: (beat) => lag + rate * beat * beatMicros + wanderOf(beat),
  };
}

/** Weighted least squares, reweighted four times with Huber's weights (1964), the rate held near 0 by its prior. */
function robustLine(
  strikes: readonly PlacedStrike[],
  prior: { readonly sdMicros: number; readonly rateSd: number },
  beatMicros: number,
): { lag: number; rate: number } {
  let lag = 0;
  let rate = 0;
  const weights = strikes.map(() => 1);
  for (let round = 0; round < 4 && strikes.length > 0; round++) {
    let [w, x, y, xx, xy] = [0, 0, 0, (prior.sdMicros / prior.rateSd) ** 2, 0];
    strikes.forEach((s, i) => {
      const late = s.atMicros - s.placeMicros;
      const weight = weights[i]!;
      w += weight;
      x += weight * s.placeMicros;
      y += weight * late;
      xx += weight * s.placeMicros ** 2;
      xy += weight * s.placeMicros * late;
    });
    const determinant = w * xx - x * x;
    rate = determinant > 1e-9 * w * beatMicros ** 2 ? (w * xy - x * y) / determinant : 0;
    lag = (y - rate * x) / w;
    strikes.forEach((s, i) => {
      const off = Math.abs(s.atMicros - s.placeMicros - lag - rate * s.placeMicros);
      weights[i] = off <= 2 * prior.sdMicros ? 1 : (2 * prior.sdMicros) / off;
    });
  }
  return { lag, rate };
}

function firstFrom(rests: readonly { readonly beat: number }[], beat: number): number {
  let low = 0;
  let high = rests.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (rests[middle]!.beat < beat) low = middle + 1;
    else high = middle;
  }
  return low;
}
