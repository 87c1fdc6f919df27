// How the notes of a line are matched. Matching is dear: it is begun while the line is played, and what has been matched
// is remembered. It is the same whether that was so or not.

import { align, alignAhead } from '../matching/align.ts';
import type { Alignment } from '../matching/alignment.ts';
import type { MatchSoFar } from '../matching/match-so-far.ts';
import type { PlayedNote } from '../music/played-note.ts';
import { Remembered } from '../remembered.ts';
import { byClick } from './by-click.ts';
import type { Matcher } from './entry.ts';
import { type LineTake, playedIn } from './take.ts';
import { expectationOf, type TakeTerms } from './terms.ts';

interface Matches {
  readonly soFar?: MatchSoFar;
  /** The latest first. */
  readonly made: readonly { readonly played: readonly PlayedNote[]; readonly alignment: Alignment }[];
}

/** The notes as they came, with those before the entry, and moved by semitones. */
const MADE_MOST = 3;

const MATCHES = new Remembered<TakeTerms, Matches>();
const NO_MATCHES: Matches = { made: [] };

/** What comes after the last note (a release, a breath) changes nothing: it is not matched again. */
export function matcherOf(terms: TakeTerms): Matcher {
  return (played) => {
    const matches = MATCHES.known(terms) ?? NO_MATCHES;
    const known = matches.made.find((one) => isSamePlaying(one.played, played));
    if (known) return known.alignment;
    const alignment = align(expectationOf(terms), played, matches.soFar);
    MATCHES.keep(terms, {
      ...matches,
      made: [{ played, alignment }, ...matches.made].slice(0, MADE_MOST),
    });
    return alignment;
  };
}

/** The same, told by the click where that tells more. */
export function matcherOnClick(terms: TakeTerms): Matcher {
  const match = matcherOf(terms);
  return (played) => {
    const alignment = match(played);
    return (
      ON_CLICK.known(alignment) ?? ON_CLICK.keep(alignment, byClick(expectationOf(terms), played, alignment))
    );
  };
}

const ON_CLICK = new Remembered<Alignment, Alignment>();

/** Matches a few of the notes that have come; false when all of them are. */
export function matchAhead(line: LineTake): boolean {
  const { terms, soFar: events } = line;
  if (terms.line.onsets.length === 0 || SEARCHED.known(terms, [events])) return false;
  const matches = MATCHES.known(terms) ?? NO_MATCHES;
  const soFar = alignAhead(expectationOf(terms), playedIn(line), matches.soFar);
  if (soFar === undefined || soFar === matches.soFar) {
    SEARCHED.keep(terms, events, [events]);
    return false;
  }
  MATCHES.keep(terms, { ...matches, soFar });
  return true;
}

/** Of these events all that can be matched ahead is. */
const SEARCHED = new Remembered<TakeTerms, LineTake['soFar']>();

/** What was begun takes room, and is of no use once the take is over. */
export function forgetMatches(terms: TakeTerms): void {
  MATCHES.forget(terms);
}

function isSamePlaying(one: readonly PlayedNote[], other: readonly PlayedNote[]): boolean {
  return (
    one.length === other.length &&
    one.every(({ onMicros, pitch }, i) => onMicros === other[i]!.onMicros && pitch === other[i]!.pitch)
  );
}
