// A snag planted in the model: an interval that trips this player time after time, whatever else goes well.

export const SNAG_WORDS = [
  'mixed',
  'rushed',
  'dragged',
  'hesitant',
  'uneven',
  'wrong',
  'missed',
  'extra',
  'blips',
  'restarts',
] as const;

/** `mixed`: rushed, and half of the time also a slip. */
export type SnagWord = (typeof SNAG_WORDS)[number];

export interface PlantedSnag {
  /** Number of the passage's onset where the interval begins. */
  readonly onset: number;
  readonly word: SnagWord;
  /** 0 (nothing) to 1 (in full, the default). */
  readonly strength?: number;
}

/** A planted snag of the full strength: how much too long or short, and the chance of each slip. */
export interface SnagEffect {
  /** Share of the interval. */
  readonly bias: number;
  /** A further bias of about this size, up or down at random each time, share of the interval. */
  readonly unevenness: number;
  readonly slipChance: number;
  readonly slip: 'wrong' | 'missed' | 'extra' | 'hesitation' | 'restart' | 'blip';
}

/** Where the fingers are not sure, the time is not either, even when all goes well. */
const UNSURE = 0.12;

const NONE: SnagEffect = { bias: 0, unevenness: 0, slipChance: 0, slip: 'wrong' };
const TRIP: SnagEffect = { ...NONE, unevenness: UNSURE, slipChance: 0.85 };

export const SNAG_EFFECTS: Readonly<Record<SnagWord, readonly SnagEffect[]>> = {
  mixed: [
    { ...NONE, bias: -0.18, slipChance: 0.25, slip: 'wrong' },
    { ...NONE, slipChance: 0.25, slip: 'hesitation' },
  ],
  rushed: [{ ...NONE, bias: -0.25 }],
  dragged: [{ ...NONE, bias: 0.25 }],
  hesitant: [{ ...TRIP, slip: 'hesitation' }],
  uneven: [{ ...NONE, unevenness: 0.3 }],
  wrong: [{ ...TRIP, slip: 'wrong' }],
  missed: [{ ...TRIP, slip: 'missed' }],
  extra: [{ ...TRIP, slip: 'extra' }],
  blips: [{ ...TRIP, slip: 'blip' }],
  restarts: [{ ...TRIP, slip: 'restart' }],
};
