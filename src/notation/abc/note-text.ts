// Notes, rests and lengths as ABC types them (ABC 2.1, sections 4.1 to 4.5), read at a place in a line.

import type { Letter } from '../../music/pitch.ts';
import type { FilePlace, IssueList } from '../reading.ts';
import type { TypedNote } from './accidentals.ts';

const NOTE = /(\^\^|\^\/|\^|__|_\/|_|=)?([A-Ga-g])([,']*)([0-9]*)((?:\/[0-9]*)*)/y;
const REST = /([xyzXZ])([0-9]*)((?:\/[0-9]*)*)/y;
const LENGTH = /([0-9]*)((?:\/[0-9]*)*)/y;
const ACCIDENTALS: Readonly<Record<string, number>> = { '^^': 2, '^': 1, '=': 0, _: -1, __: -2 };

/** Longest note, in unit lengths: 64 whole notes of eighths. Longer is a slip of the finger. */
const LONGEST = 512;

export interface TypedLength {
  /** In unit lengths. */
  readonly length: number;
  /** Where the text goes on. */
  readonly end: number;
}

export interface TypedRest extends TypedLength {
  /** Z and X count bars, z and x unit lengths, y is a space on the page. */
  readonly sign: string;
}

/** The note at `at`, undefined where there is none. */
export function readNote(
  text: string,
  at: number,
  place: FilePlace,
  issues: IssueList,
): (TypedLength & { readonly note: TypedNote }) | undefined {
  NOTE.lastIndex = at;
  const m = NOTE.exec(text);
  if (!m) return undefined;
  const [, sign, name, marks] = m as unknown as [string, string | undefined, string, string];
  const letter = name.toUpperCase() as Letter;
  const octave = (name === letter ? 4 : 5) + count(marks, "'") - count(marks, ',');
  if (sign?.includes('/')) {
    const message = `A quarter tone (${sign}${name}) cannot be played here: taken without its accidental`;
    issues.warn('abc.quarter-tone', message, place);
  }
  const accidental = sign === undefined ? undefined : ACCIDENTALS[sign];
  return {
    note: { letter, octave, ...(accidental !== undefined && { accidental }), place },
    length: lengthOf(m[4]!, m[5]!, place, issues),
    end: at + m[0].length,
  };
}

export function readRest(
  text: string,
  at: number,
  place: FilePlace,
  issues: IssueList,
): TypedRest | undefined {
  REST.lastIndex = at;
  const m = REST.exec(text);
  return m
    ? { sign: m[1]!, length: lengthOf(m[2]!, m[3]!, place, issues), end: at + m[0].length }
    : undefined;
}

/** The length at `at`; where none is typed it is 1. */
export function readLength(text: string, at: number, place: FilePlace, issues: IssueList): TypedLength {
  LENGTH.lastIndex = at;
  const m = LENGTH.exec(text)!;
  return { length: lengthOf(m[1]!, m[2]!, place, issues), end: at + m[0].length };
}

function lengthOf(digits: string, slashes: string, place: FilePlace, issues: IssueList): number {
  let value = digits === '' ? 1 : Number(digits);
  for (const [, d] of slashes.matchAll(/\/([0-9]*)/g)) value /= d === '' ? 2 : Number(d);
  if (value > 0 && value <= LONGEST) return value;
  const message = `Cannot read the length ${digits}${slashes}: it must be over 0 and at most ${LONGEST} unit lengths`;
  issues.error('abc.length', message, place);
  return 1;
}

function count(text: string, sign: string): number {
  return text.split(sign).length - 1;
}
