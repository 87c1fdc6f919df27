// How far the fingers stray, as far as it is known beforehand: what an explanation leaves unexplained should be no more
// than the fingers' own unevenness, and where nothing is explained it may be more than that. The standard deviation is
// not known: a cost is the negative logarithm of how likely what is left is, whatever the standard deviation.

import { median } from '../statistics.ts';
import type { Moment } from './strands.ts';

/**
 * Fingers stray by some 10 ms, in slow notes by a share of their length, and by a factor of 1.3 more or less from one
 * player and take to another.
 */
const USUAL_SD_MICROS = 10_000;
const USUAL_SD_SHARE = 0.025;
const USUAL_LOG_SD = 0.28;
/** An uneven take strays by half to twice of what an interval may. */
const UNEVEN_LEAST = 0.5;
const UNEVEN_MOST = 2;
/** Hardly one in a thousand strays by more, up to so many times as much; this is believed where no shared cause fits better. */
const WILD_MOST = 16;
const WILD_SHARE = 0.001;
const STEPS = 12;
const LOG_ROOT_TAU = 0.5 * Math.log(2 * Math.PI);

/**
 * How likely it is beforehand that what is left is uneven: with nothing explained, with a cause that all notes share, and
 * with one place.
 */
const UNEVEN_SHARE = { nothing: 0.6, whole: 0.03, place: 0.0001 } as const;

export type Explained = keyof typeof UNEVEN_SHARE;

interface Spread {
  readonly sdMicros: number;
  /** Of one observation: what a Gaussian's height costs. */
  readonly heightCost: number;
  /** Natural logarithm of how likely it is beforehand. */
  readonly logWeight: number;
}

export interface Straying {
  readonly usual: readonly Spread[];
  readonly uneven: readonly Spread[];
  /** The fingers' usual standard deviation at this pace. */
  readonly usualSdMicros: number;
}

/** @param allowedMicros What the usual interval may stray. */
export function strayingOf(moments: readonly Moment[], allowedMicros: number): Straying {
  const gaps = moments.slice(1).map((m, i) => m.askedMicros - moments[i]!.askedMicros);
  const real = gaps.filter((gap) => gap > 0);
  const usualSdMicros = Math.max(USUAL_SD_MICROS, USUAL_SD_SHARE * (real.length > 0 ? median(real) : 0));
  const steps = Array.from({ length: STEPS }, (_, i) => (i + 0.5) / STEPS);
  const bell = steps.map((step) => 5 * step - 2.5);
  const total = bell.reduce((sum, z) => sum + Math.exp((-z * z) / 2), 0);
  const between = (least: number, most: number, share: number): Spread[] =>
    steps.map((step) => spread(allowedMicros * least * (most / least) ** step, Math.log(share / STEPS)));
  return {
    usualSdMicros,
    usual: bell.map((z) =>
      spread(usualSdMicros * Math.exp(USUAL_LOG_SD * z), (-z * z) / 2 - Math.log(total)),
    ),
    uneven: [
      ...between(UNEVEN_LEAST, UNEVEN_MOST, 1 - WILD_SHARE),
      ...between(UNEVEN_MOST, WILD_MOST, WILD_SHARE),
    ],
  };
}

function spread(sdMicros: number, logWeight: number): Spread {
  return { sdMicros, heightCost: Math.log(sdMicros) + LOG_ROOT_TAU, logWeight };
}

/** @param rest Sum of squares. @param spare Observations beyond the numbers that were fitted. */
export function strayingCost(straying: Straying, rest: number, spare: number, explained: Explained): number {
  const uneven = UNEVEN_SHARE[explained];
  return cheaper(
    spreadCost(straying.usual, rest, spare) - Math.log(1 - uneven),
    spreadCost(straying.uneven, rest, spare) - Math.log(uneven),
  );
}

/** The cost where the standard deviation is one of these. */
export function spreadCost(spreads: readonly Spread[], rest: number, spare: number): number {
  const costs = spreads.map(
    ({ sdMicros, heightCost, logWeight }) =>
      spare * heightCost + rest / (2 * sdMicros * sdMicros) - logWeight,
  );
  return costs.reduce(cheaper);
}

/** Of what may be so or otherwise: both likelihoods together. */
export function cheaper(one: number, other: number): number {
  const least = Math.min(one, other);
  return least - Math.log(Math.exp(least - one) + Math.exp(least - other));
}
