// What may explain the deviations of a take. Each wants an advice of its own.

import type { Strand } from './hands.ts';

/** Positive = late, long or slow. */
export type Cause =
  /** The interval from this onset to the next alone was short or long: all that follows moved with it. */
  | {
      readonly kind: 'interval';
      readonly from: number;
      /** One hand alone moved: from its onset before. */
      readonly hand?: Strand;
      readonly deviationMicros: number;
    }
  /** One note alone (or what one hand played there) was early or late. */
  | {
      readonly kind: 'displaced';
      readonly onset: number;
      readonly hand?: Strand;
      /** Index of that hand's highest note there. */
      readonly note?: number;
      readonly offsetMicros: number;
    }
  /** All of it at another tempo than the click's: the share by which the intervals are longer. */
  | { readonly kind: 'tempo'; readonly share: number }
  /**
   * A change of tempo that is written there was not made as written: from this onset on the intervals are longer by
   * `share`. `made` is how much of the change was made: 0 = kept on as before, 1 = as written.
   */
  | { readonly kind: 'tempo-mark'; readonly onset: number; readonly share: number; readonly made: number }
  /** Faster and faster (negative) or slower and slower, from an onset on: the share by which the last interval is longer. */
  | { readonly kind: 'drift'; readonly from: number; readonly share: number }
  /** One in so many notes of equal length early or late each time: in pairs, the second. `place` counts from 0. */
  | {
      readonly kind: 'pattern';
      readonly period: number;
      readonly place: number;
      readonly offsetMicros: number;
    }
  /** Unequal notes played evenly; 1 = wholly even. */
  | { readonly kind: 'evened'; readonly share: number }
  /** One hand behind the other, all the way or from an onset on. */
  | { readonly kind: 'hand'; readonly hand: Strand; readonly from?: number; readonly offsetMicros: number }
  /** No such cause: the standard deviation of the placements. */
  | { readonly kind: 'uneven'; readonly sdMicros: number };
