// What kind of player the model is: how even, how fast before it falls apart, how it slips and how it learns. The
// figures are those of people at practice, not measured on anyone: timing spreads lie in the published ranges
// (trained musicians about 2 % of the interval, others 3-5 %: Repp 2005, Psychon Bull Rev 12:969, from memory;
// finger asynchronies tens of ms: Almeida et al. 2009, JASA 126:1521).

export interface Profile {
  readonly name: string;
  /** A few words for people. */
  readonly explanation: string;

  // Timing (Wing & Kristofferson 1973): I_j = C_j + D_{j+1} - D_j.
  /** SD of the timekeeper's intervals, as a share of the interval: the part that grows with it. */
  readonly clockShare: number;
  /** SD of the motor delay, constant. */
  readonly motorSdMicros: number;
  /** How much too long (positive) or short the player takes every interval, as a share of it. */
  readonly bias: number;
  /** First-order linear phase correction toward the click, share of the asynchrony made good within a beat, 0 to 1. */
  readonly correction: number;
  /** Constant lag against the click; negative: it is anticipated. */
  readonly lagMicros: number;
  /** Tempo taken when entering freely, over the tempo asked. */
  readonly freePace: number;

  // Slips.
  /** Notes a second at which every second attempt at an easy interval is in danger: the tempo limit. */
  readonly limitPerSecond: number;
  /** Chance of a slip on an easy slow note, and the most that a note too fast can have, 0 to 1. */
  readonly slipFloor: number;
  readonly slipCeiling: number;
  /** Relative frequency of each kind. */
  readonly slips: Readonly<Record<SlipKind, number>>;
  /** Chance of a finger blip at an awkward change of a wind instrument at the tempo limit, 0 to 1. */
  readonly blipCeiling: number;

  // Joining and chords.
  /** Overlap (positive) or gap (negative) of joined notes, mean and SD. */
  readonly overlapMicros: number;
  readonly overlapSdMicros: number;
  /** SD of the notes of a chord about its onset. */
  readonly chordSdMicros: number;

  /** How fast trouble fades with playing: chances and planted snags go down by exp(-learning) each time. */
  readonly learning: number;
}

/** Kinds of slip that the model makes of itself. */
export type SlipKind = 'wrong' | 'missed' | 'extra' | 'hesitation' | 'restart';

const EXACT: Profile = {
  name: 'exact',
  explanation: 'a machine: every note right and at its instant',
  clockShare: 0,
  motorSdMicros: 0,
  bias: 0,
  correction: 0,
  lagMicros: 0,
  freePace: 1,
  limitPerSecond: Number.POSITIVE_INFINITY,
  slipFloor: 0,
  slipCeiling: 0,
  slips: { wrong: 0, missed: 0, extra: 0, hesitation: 0, restart: 0 },
  blipCeiling: 0,
  overlapMicros: 0,
  overlapSdMicros: 0,
  chordSdMicros: 0,
  learning: 0,
};

const STEADY: Profile = {
  ...EXACT,
  name: 'steady',
  explanation: 'even and sure; clean at any moderate tempo',
  clockShare: 0.015,
  motorSdMicros: 3_000,
  correction: 0.4,
  lagMicros: -12_000,
  limitPerSecond: 14,
  slipFloor: 0,
  slipCeiling: 0.15,
  slips: { wrong: 5, missed: 2, extra: 1, hesitation: 2, restart: 0 },
  blipCeiling: 0.1,
  overlapMicros: 8_000,
  overlapSdMicros: 6_000,
  chordSdMicros: 3_000,
  learning: 0.1,
};

const PUPIL: Profile = {
  ...STEADY,
  name: 'pupil',
  explanation: 'rushes a little and slips in hard places, but learns',
  clockShare: 0.03,
  motorSdMicros: 6_000,
  bias: -0.015,
  correction: 0.35,
  lagMicros: -25_000,
  limitPerSecond: 8,
  slipFloor: 0.001,
  slipCeiling: 0.25,
  slips: { wrong: 6, missed: 2, extra: 2, hesitation: 3, restart: 1 },
  blipCeiling: 0.25,
  overlapSdMicros: 12_000,
  chordSdMicros: 6_000,
  learning: 0.25,
};

export const PROFILES = {
  exact: EXACT,
  steady: STEADY,
  pupil: PUPIL,
  nervous: {
    ...PUPIL,
    name: 'nervous',
    explanation: 'rushes, and more so without a click',
    bias: -0.03,
    correction: 0.45,
    lagMicros: -35_000,
    freePace: 1.08,
    slipFloor: 0.004,
    learning: 0.15,
  },
  heavy: {
    ...PUPIL,
    name: 'heavy',
    explanation: 'drags, and stops before hard notes',
    bias: 0.025,
    correction: 0.4,
    lagMicros: 10_000,
    freePace: 0.94,
    slips: { wrong: 3, missed: 1, extra: 1, hesitation: 8, restart: 2 },
    overlapMicros: -30_000,
    learning: 0.15,
  },
  beginner: {
    ...PUPIL,
    name: 'beginner',
    explanation: 'uneven, slow to move, goes back to start again',
    clockShare: 0.05,
    motorSdMicros: 10_000,
    bias: -0.02,
    correction: 0.35,
    lagMicros: -40_000,
    freePace: 0.9,
    limitPerSecond: 4,
    slipFloor: 0.01,
    slipCeiling: 0.3,
    slips: { wrong: 6, missed: 3, extra: 2, hesitation: 5, restart: 3 },
    blipCeiling: 0.35,
    overlapMicros: -40_000,
    overlapSdMicros: 25_000,
    chordSdMicros: 12_000,
  },
} as const satisfies Record<string, Profile>;

export type ProfileName = keyof typeof PROFILES;

export const PROFILE_NAMES = Object.keys(PROFILES) as ProfileName[];

export function isProfileName(text: string): text is ProfileName {
  return Object.hasOwn(PROFILES, text);
}
