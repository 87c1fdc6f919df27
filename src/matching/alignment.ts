// Which played note stands for which expected one. Law: every expected note has exactly one verdict, and every played
// note stands at most in one slot, either in a verdict or among the extras.

/** `omitted` is said of optional notes (grace notes) only, and is no slip. */
type NoteVerdictKind = 'right' | 'wrong' | 'missed' | 'omitted';

export interface NoteVerdict {
  /** Index (from 0) into the expectation's onsets. */
  readonly onset: number;
  /** Index (from 0) into that onset's notes. */
  readonly note: number;
  readonly verdict: NoteVerdictKind;
  /** Index into the played notes; absent when missed or omitted. */
  readonly played?: number;
}

/**
 * `blip`: short, between two right neighbours closer than their interval. `restart`: belongs to a try that was given
 * up when the player went back. `ornament`: an added note of a written trill, mordent or turn: no slip.
 */
export type ExtraKind = 'extra' | 'blip' | 'restart' | 'ornament';

export interface ExtraNote {
  readonly played: number;
  readonly kind: ExtraKind;
  /** Index of the expected onset it came before (the number of onsets when after the last). */
  readonly before: number;
}

export interface Alignment {
  /** One for each expected note, in order of onset and note. */
  readonly notes: readonly NoteVerdict[];
  readonly extras: readonly ExtraNote[];
}
