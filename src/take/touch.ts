// Touch: how loud each note was against its neighbours in the line. Common practice, no source, as the limits are;
// studies of scale playing measure loudness beside timing (from memory). What an instrument sends is told in decibels by
// the response that General MIDI recommends, 40 log10(value / 127) (from memory): the same step is a greater change
// where the playing is soft.
//
// A note is held against the notes before it and against those after it, and the smaller of the two differences counts
// where both go the same way, else none: so a crescendo, a new dynamic or a soft bar after a loud one is no fault. The
// first and the last note have one side only and are left out: a phrase is shaped there. So are notes marked with an
// accent. Of a chord the loudest note of each hand counts: who brings out the top note does as they should.

import type { Alignment } from '../matching/alignment.ts';
import type { Expectation } from '../matching/expectation.ts';
import type { PlayedNote } from '../music/played-note.ts';
import { median } from '../statistics.ts';
import type { Strand } from './hands.ts';
import type { Tolerance, ToleranceName } from './tolerance.ts';

export interface Touch {
  readonly by: 'velocity' | 'breath';
  /** Standard deviation of the notes about their neighbours, decibels. */
  readonly unevenDb: number;
  /** Notes that stick out or drop, the farthest first. */
  readonly standing: readonly StandingNote[];
  /** The line as a whole is uneven. */
  readonly uneven: boolean;
  /** The least and the most that was sent, 1 to 127. */
  readonly least: number;
  readonly most: number;
}

interface StandingNote {
  readonly onset: number;
  readonly hand?: Strand;
  /** Index of the note at its onset. */
  readonly note: number;
  /** As sent, 0 to 127: the note, and its neighbours. */
  readonly level: number;
  readonly around: number;
  /** Louder (positive) or softer than the neighbours. */
  readonly decibels: number;
}

/** Advice where the timing is clean, a fault where an even touch was asked for. */
export type TouchTrouble =
  | ({ readonly kind: 'touch'; readonly by: Touch['by'] } & StandingNote)
  | ({ readonly kind: 'uneven-touch' } & Pick<Touch, 'by' | 'unevenDb' | 'least' | 'most'>);

/** The farthest first; empty where the line is even. */
export function touchTroubles({ by, standing, uneven, unevenDb, least, most }: Touch): TouchTrouble[] {
  if (uneven) return [{ kind: 'uneven-touch', by, unevenDb, least, most }];
  return standing.map((one) => ({ kind: 'touch', by, ...one }));
}

/** How far one note may stand from its neighbours, and how uneven a line may be, in decibels. */
const LIMITS: Readonly<Record<ToleranceName, { readonly note: number; readonly line: number }>> = {
  rough: { note: 6.5, line: 5 },
  steady: { note: 4.5, line: 3.5 },
  concert: { note: 3.5, line: 2.5 },
};
/** A note within three standard deviations of this player's own unevenness does not stand out. */
const TIMES_SD = 3;
/** Where more than this share of the notes stand out, that is how the line is played. */
const MOST_SHARE = 0.2;
/** So much of what a whole line may stray, what is left without them may, too: more is an uneven line. */
const EVEN_SHARE = 0.65;
const NEIGHBOURS = 3;
/** With fewer notes unevenness cannot be told from the shape of the line. */
const LEAST_NOTES = 5;
/**
 * The smaller of two differences is small: over its root mean square, the standard deviation of notes that are normally
 * distributed (worked out by drawing them; 1.37 to 1.43 for 6 to 100 notes).
 */
const SD_OF_RESIDUAL = 1.4;

interface StrandNote {
  readonly onset: number;
  readonly hand: Strand | undefined;
  readonly note: number;
  readonly level: number;
}

export interface TouchInput {
  readonly expectation: Expectation;
  readonly played: readonly PlayedNote[];
  readonly alignment: Alignment;
  readonly hands: readonly (readonly Strand[])[] | undefined;
  readonly tolerance: Tolerance;
  /** By played note, where the instrument sends breath. */
  readonly breath?: readonly number[] | undefined;
}

/** Undefined where the instrument sends the same for every note, or there are too few. */
export function touchOf(input: TouchInput): Touch | undefined {
  const { breath, tolerance } = input;
  const lines = linesOf(input);
  const levels = lines.flat().map(({ level }) => level);
  if (levels.length === 0) return undefined;
  const [least, most] = [Math.min(...levels), Math.max(...levels)];
  if (least === most) return undefined;
  const residuals = lines.flatMap(residualsOf);
  if (residuals.length === 0) return undefined;
  const limit = LIMITS[tolerance.name];
  const within = residuals.filter(({ decibels }) => Math.abs(decibels) <= limit.note);
  const far = Math.max(limit.note, TIMES_SD * sdOf(within));
  const standing = residuals
    .filter(({ decibels }) => Math.abs(decibels) > far)
    .sort((a, b) => Math.abs(b.decibels) - Math.abs(a.decibels));
  const unevenDb = sdOf(residuals);
  const rest = residuals.filter((one) => !standing.includes(one));
  // A note stands out of a line that is even otherwise.
  const isException =
    standing.length > 0 &&
    standing.length <= Math.max(1, MOST_SHARE * residuals.length) &&
    sdOf(rest) <= EVEN_SHARE * limit.line;
  return {
    by: breath ? 'breath' : 'velocity',
    unevenDb,
    standing: isException ? standing : [],
    uneven: !isException && (standing.length > 0 || unevenDb > limit.line),
    least,
    most,
  };
}

/** True where one level was sent for every note, and a line is long enough to tell that from chance. */
export function sendsOneLevel(input: TouchInput): boolean {
  const lines = linesOf(input);
  const levels = new Set(lines.flat().map(({ level }) => level));
  return levels.size === 1 && lines.some((line) => line.length >= LEAST_NOTES);
}

/** Of each hand its notes in order, the accented ones left out. */
function linesOf({ expectation, played, alignment, hands, breath }: TouchInput): StrandNote[][] {
  const lines = new Map<Strand | undefined, Map<number, StrandNote>>();
  const marked = new Set<string>();
  for (const { onset, note, verdict, played: by } of alignment.notes) {
    const written = expectation.onsets[onset]!.notes[note]!;
    if (verdict !== 'right' || by === undefined || written.ornament === 'grace') continue;
    const hand = hands?.[onset]?.[note];
    if (written.articulations?.some((mark) => mark === 'accent' || mark === 'marcato'))
      marked.add(`${onset} ${hand}`);
    const level = Math.max(1, breath?.[by] ?? played[by]!.velocity);
    const line = lines.get(hand) ?? new Map<number, StrandNote>();
    lines.set(hand, line);
    if (level >= (line.get(onset)?.level ?? 0)) line.set(onset, { onset, hand, note, level });
  }
  return [...lines.values()].map((line) =>
    [...line.values()]
      .filter(({ onset, hand }) => !marked.has(`${onset} ${hand}`))
      .sort((a, b) => a.onset - b.onset),
  );
}

function residualsOf(line: readonly StrandNote[]): StandingNote[] {
  if (line.length < LEAST_NOTES) return [];
  const loudness = line.map(({ level }) => 40 * Math.log10(level / 127));
  return line.slice(1, -1).map(({ onset, hand, note, level }, k) => {
    const i = k + 1;
    const before = difference(loudness[i]!, loudness.slice(Math.max(0, i - NEIGHBOURS), i).reverse());
    const after = difference(loudness[i]!, loudness.slice(i + 1, i + 1 + NEIGHBOURS));
    const near = [...line.slice(Math.max(0, i - NEIGHBOURS), i), ...line.slice(i + 1, i + 1 + NEIGHBOURS)];
    return {
      onset,
      ...(hand === undefined ? {} : { hand }),
      note,
      level,
      around: Math.round(median(near.map((one) => one.level))),
      decibels: smaller(before, after),
    };
  });
}

/**
 * How much louder than the nearest note, and than the median of the nearest ones: the smaller of the two, 0 where they
 * disagree.
 */
function difference(loudness: number, nearest: readonly number[]): number {
  return smaller(loudness - nearest[0]!, loudness - median(nearest));
}

function smaller(a: number, b: number): number {
  if (a * b <= 0) return 0;
  return Math.abs(a) < Math.abs(b) ? a : b;
}

function sdOf(residuals: readonly StandingNote[]): number {
  if (residuals.length === 0) return 0;
  const squares = residuals.reduce((sum, { decibels }) => sum + decibels ** 2, 0);
  return SD_OF_RESIDUAL * Math.sqrt(squares / residuals.length);
}
