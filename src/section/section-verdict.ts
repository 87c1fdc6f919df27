// What a take of a section was: who was clean, where each of them broke, and whether they were together.

import type { StepOnset } from '../drills/step.ts';
import { align } from '../matching/align.ts';
import { requiredNotes } from '../music/onset.ts';
import type { PlayedNote } from '../music/played-note.ts';
import type { Attendance } from '../record/played-together.ts';
import { Remembered } from '../remembered.ts';
import type { TakeResult } from '../take/result.ts';
import type { LineTake, Take } from '../take/take.ts';
import { tickMicros } from '../take/take-times.ts';
import { expectationOf } from '../take/terms.ts';
import type { TakeVerdict } from '../take/verdict.ts';
import type { PlayerOnsets } from './player-onsets.ts';
import { type Pulling, pulling, standingOf, type Together, together } from './together.ts';

export interface SectionPlayerVerdict {
  readonly name: string;
  readonly attendance: Attendance;
  readonly clean: boolean;
  /** Rests through the run. */
  readonly rests: boolean;
  readonly silent: boolean;
  /** Onsets played rightly, of so many that were asked. */
  readonly right: number;
  readonly of: number;
  /** Where it first went wrong: a tick. Absent where nothing did, or no place can be named. */
  readonly brokeTick?: number;
  /** The lag of their set-up is known and taken off. */
  readonly calibrated: boolean;
  /** Whose part they played in place of their own: an index among the players. */
  readonly playedPartOf?: number;
}

export interface SectionVerdict {
  readonly clean: boolean;
  /** Ticks are the passage's; those of a free step are its own, and say no bar and beat. */
  readonly keepsBeat: boolean;
  /** Clean takes that were needed, of so many who counted. */
  readonly needed: number;
  readonly counted: number;
  /** In the plan's order. */
  readonly players: readonly SectionPlayerVerdict[];
  readonly together: Together;
  readonly pulling: Pulling;
}

export interface HeardPlayer {
  readonly name: string;
  readonly attendance: Attendance;
  readonly calibrated: boolean;
  readonly result: TakeResult;
}

/** `players` in the order of the take's lines. */
export function sectionVerdict(
  take: Take,
  players: readonly HeardPlayer[],
  gate: { readonly clean: boolean; readonly needed: number; readonly counted: number },
): SectionVerdict {
  return {
    ...gate,
    keepsBeat: take.run.pulse === 'click',
    players: players.map((player, i) => playerVerdict(player, take, i)),
    ...compared(take, players),
  };
}

/**
 * Does what the verdict on a section needs most time for, one piece of it; false when nothing is left. So that the
 * verdict itself need not wait for it.
 */
export function compareAhead(take: Take, players: readonly HeardPlayer[]): boolean {
  const next = players.findIndex(
    ({ attendance, result }, i) =>
      attendance !== 'muted' && INSTEADS.known(result.verdict, insteadOf(take, i)) === undefined,
  );
  if (next >= 0) {
    partPlayedInstead(take, next, players[next]!.result);
    return true;
  }
  if (COMPARISONS.known(players[0]!.result.verdict, comparedIn(players))) return false;
  compared(take, players);
  return true;
}

type Comparison = Pick<SectionVerdict, 'together' | 'pulling'>;

function compared(take: Take, players: readonly HeardPlayer[]): Comparison {
  const first = players[0]!.result.verdict;
  const known = COMPARISONS.known(first, comparedIn(players));
  if (known) return known;
  // Who is apart by being in another place of the music says nothing about being together.
  const onsets = players.flatMap(({ name, attendance, result }, i) =>
    attendance === 'muted' || partPlayedInstead(take, i, result).partOf !== undefined
      ? []
      : [onsetsOf(name, take.lines[i]!, result)],
  );
  const standing = standingOf(onsets);
  const comparison = {
    together: together(onsets, standing),
    pulling: pulling(onsets, (tick) => tickMicros(take, tick), standing),
  };
  return COMPARISONS.keep(first, comparison, comparedIn(players));
}

/** By the first player's verdict, which belongs to one take. */
const COMPARISONS = new Remembered<TakeVerdict, Comparison>();

/** All that decides how players compare. */
function comparedIn(players: readonly HeardPlayer[]): readonly unknown[] {
  return players.flatMap(({ name, attendance, result }) => [result.verdict, name, attendance === 'muted']);
}

/** When the onsets came that were played rightly, a known lag taken off. */
function onsetsOf(
  player: string,
  { terms }: Pick<LineTake, 'terms'>,
  { verdict }: Pick<TakeResult, 'verdict'>,
): PlayerOnsets {
  const onsetMicrosByTick = new Map<number, number>();
  verdict.onsetMicros.forEach((micros, i) => {
    const onset = terms.line.onsets[i];
    if (micros !== undefined && onset) onsetMicrosByTick.set(onset.tick, micros - terms.lagMicros);
  });
  return { player, onsetMicrosByTick };
}

function playerVerdict(player: HeardPlayer, take: Take, index: number): SectionPlayerVerdict {
  const { name, attendance, calibrated, result } = player;
  const { verdict } = result;
  const { onsets } = take.lines[index]!.terms.line;
  const brokeTick = brokeAt(onsets, result);
  const { partOf: playedPartOf } = attendance === 'muted' ? {} : partPlayedInstead(take, index, result);
  return {
    name,
    attendance,
    clean: result.clean,
    rests: onsets.length === 0,
    silent: verdict.troubles.some(({ kind }) => kind === 'silent'),
    right: verdict.onsetMicros.filter((micros) => micros !== undefined).length,
    of: onsets.length,
    ...(brokeTick === undefined ? {} : { brokeTick }),
    calibrated,
    ...(playedPartOf === undefined ? {} : { playedPartOf }),
  };
}

/** The tick of the onset at which the first trouble is, or that it leads into. */
function brokeAt(onsets: readonly StepOnset[], { verdict, clean }: TakeResult): number | undefined {
  if (clean) return undefined;
  const slip = verdict.notes.find((note) => note.verdict === 'wrong' || note.verdict === 'missed')?.onset;
  const added = verdict.extras.find(({ kind }) => kind === 'extra' || kind === 'blip')?.before;
  // At another tempo than the click's it broke nowhere: all of it is off.
  const isAll = verdict.troubles[0]?.kind === 'tempo';
  const uneven = isAll ? undefined : verdict.intervals.find((interval) => !interval.clean)?.to;
  const first = [slip, added].filter((onset) => onset !== undefined);
  const at = first.length > 0 ? Math.min(...first) : uneven;
  return at === undefined ? undefined : onsets[Math.min(at, onsets.length - 1)]?.tick;
}

/**
 * A part is known by so many of its notes, and by this share of all that were played. A run that is stopped at the first
 * wrong note leaves few: of these none may be right in one's own.
 */
const NOTES_TO_KNOW = 2;
const FEW_NOTES = 2;
const OTHER_PART_SHARE = 0.8;
/** Some notes of another part are right in one's own by chance, more of them where an octave is put down to a setting. */
const OWN_PART_SHARE = 0.7;

/** Whose part was played, where it plainly was another's: said once, in place of a heap of wrong notes. */
function partPlayedInstead(take: Take, index: number, result: TakeResult): Instead {
  const known = INSTEADS.known(result.verdict, insteadOf(take, index));
  if (known) return known;
  const partOf = partLike(take, index, result);
  return INSTEADS.keep(result.verdict, partOf === undefined ? {} : { partOf }, insteadOf(take, index));
}

interface Instead {
  readonly partOf?: number;
}

const INSTEADS = new Remembered<TakeVerdict, Instead>();

/** All that decides whose part was played, besides the verdict. */
function insteadOf({ lines }: Take, index: number): readonly unknown[] {
  return [index, ...lines.map(({ terms }) => terms)];
}

function partLike(take: Take, index: number, { played, verdict, clean }: TakeResult): number | undefined {
  if (clean || played.length < NOTES_TO_KNOW) return undefined;
  const own = verdict.notes.filter((note) => note.verdict === 'right').length;
  if (own >= OWN_PART_SHARE * played.length || (own > 0 && played.length <= FEW_NOTES)) return undefined;
  // Players of one part are looked into once.
  const seen = new Set([pitchesOf(take.lines[index]!)]);
  const candidates = take.lines.flatMap((line, i) => {
    const pitches = pitchesOf(line);
    if (line.terms.line.onsets.length === 0 || seen.has(pitches)) return [];
    seen.add(pitches);
    // Only a part that shares enough notes is matched: matching takes long.
    if (commonNotes(line, played) < Math.max(NOTES_TO_KNOW, OTHER_PART_SHARE * played.length)) return [];
    const { notes } = align(expectationOf(line.terms), played);
    const right = notes.filter((note) => note.verdict === 'right').length;
    return right >= NOTES_TO_KNOW && right >= OTHER_PART_SHARE * played.length ? [{ i, right }] : [];
  });
  if (candidates.length === 0) return undefined;
  return candidates.reduce((a, b) => (b.right > a.right ? b : a)).i;
}

/** At most so many of the notes are the line's, whole octaves apart or not. */
function commonNotes({ terms: { line } }: LineTake, played: readonly PlayedNote[]): number {
  const left = Array<number>(12).fill(0);
  const classOf = (pitch: number) => ((pitch % 12) + 12) % 12;
  for (const { notes } of line.onsets) for (const { pitch } of notes) left[classOf(pitch)]! += 1;
  return played.filter(({ pitch }) => left[classOf(pitch)]!-- > 0).length;
}

function pitchesOf({ terms }: LineTake): string {
  return terms.line.onsets.map((onset) => requiredNotes(onset).map(({ pitch }) => pitch)).join(';');
}
