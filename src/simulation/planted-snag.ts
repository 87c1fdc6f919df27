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
  /** SD of an additional bias drawn anew each time, share of the interval. */
  readonly unevenness: number;
  readonly slipChance: number;
  readonly slip: 'wrong' | 'missed' | 'extra' | 'hesitation' | 'restart' | 'blip';
}

const NONE: SnagEffect = { bias: 0, unevenness: 0, slipChance: 0, slip: 'wrong' };

export const SNAG_EFFECTS: Readonly<Record<SnagWord, readonly SnagEffect[]>> = {
  mixed: [
    { ...NONE, bias: -0.18, slipChance: 0.25, slip: 'wrong' },
    { ...NONE, slipChance: 0.25, slip: 'hesitation' },
  ],
  rushed: [{ ...NONE, bias: -0.25 }],
  dragged: [{ ...NONE, bias: 0.25 }],
  hesitant: [{ ...NONE, slipChance: 0.8, slip: 'hesitation' }],
  uneven: [{ ...NONE, unevenness: 0.3 }],
  wrong: [{ ...NONE, slipChance: 0.75, slip: 'wrong' }],
  missed: [{ ...NONE, slipChance: 0.75, slip: 'missed' }],
  extra: [{ ...NONE, slipChance: 0.75, slip: 'extra' }],
  blips: [{ ...NONE, slipChance: 0.8, slip: 'blip' }],
  restarts: [{ ...NONE, slipChance: 0.7, slip: 'restart' }],
};
