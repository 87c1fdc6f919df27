// What kind of trouble a passage gives, as far as the choice of a drill goes. Onsets are numbered from 1; a snag N is
// the interval from onset N to N + 1.

/** One ranked interval, from several takes of the whole span. */
export interface Snag {
  /** Number of the onset where the interval begins. */
  readonly onset: number;
  /** What is wrong there, the weightiest first. */
  readonly kinds: readonly SnagKind[];
  /** Mean deviation, shrunk toward the take's ordinary unevenness; positive = too long. */
  readonly deviationMicros: number;
  /** How sure, 0 to 1. */
  readonly confidence: number;
  /** Ranking weight; comparable within one survey only. */
  readonly weight: number;
}

export type SnagKind =
  | 'rushed'
  | 'dragged'
  | 'hesitant'
  | 'uneven'
  | 'wrong notes'
  | 'missed notes'
  | 'extra notes'
  | 'blips'
  | 'restarts';

export type Difficulty =
  /** One bad interval. */
  | { readonly kind: 'interval'; readonly snag: Snag }
  /** Two to sixteen beats in a row that fall apart. */
  | { readonly kind: 'beats'; readonly first: number; readonly last: number; readonly worst: Snag }
  /** Trouble all over. */
  | { readonly kind: 'line'; readonly worst: Snag }
  /** Intervals too short in general. */
  | { readonly kind: 'rushing'; readonly first: number; readonly last: number; readonly share: number }
  /** A stop before one onset. */
  | { readonly kind: 'hesitation'; readonly snag: Snag }
  /** No one place, but most takes had this in common. */
  | { readonly kind: 'whole'; readonly fault: WholeFault }
  /** No one place and nothing in common, and yet no take was clean. */
  | { readonly kind: 'unsettled' }
  /** Nothing stands out. */
  | { readonly kind: 'none' };

/** What a take as a whole may suffer from. */
export type WholeFault =
  | 'too slow'
  | 'too fast'
  | 'slowing'
  | 'speeding'
  | 'lilting'
  | 'uneven'
  | 'hands apart'
  | 'evened'
  | 'set otherwise'
  | 'off the click';
