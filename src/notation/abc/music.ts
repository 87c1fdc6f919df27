// A line of ABC music: notes, chords, rests, grace notes, tuplets, bar lines and inline fields, in any order that
// ABC 2.1 (section 4.20) allows. What is not understood is told with its line and column; what would make the rest
// guesswork (a chord or a brace that never closes) is an error.

import type { Letter } from '../../music/pitch.ts';
import type { IssueList, Place } from '../reading.ts';
import type { TypedNote } from './accidentals.ts';
import { readBarLine } from './bar-line.ts';
import { decorationNamed, SHORT_SIGNS } from './decorations.ts';
import type { AbcVoice } from './voice.ts';

/** What a line of music needs from its tune. */
export interface AbcContext {
  readonly issues: IssueList;
  voice: AbcVoice;
  /** Meter with a dotted beat: tuplets of 5, 7 and 9 take the time of 3. */
  compound: boolean;
  /** Signs that U: has redefined; an empty name means "no meaning". */
  readonly signs: Map<string, string>;
  /** `+trill+` instead of `!trill!` (ABC 2.0). */
  plusDecorations: boolean;
  /** Field in square brackets, without the brackets. */
  inlineField(letter: string, text: string, place: Place): void;
}

const NOTE = /(\^\^|\^\/|\^|__|_\/|_|=)?([A-Ga-g])([,']*)([0-9]*)((?:\/[0-9]*)*)/y;
const REST = /([xyzXZ])([0-9]*)((?:\/[0-9]*)*)/y;
const LENGTH = /([0-9]*)((?:\/[0-9]*)*)/y;
const TUPLET = /\(([2-9])(?::([0-9]*))?(?::([0-9]*))?/y;
const ACCIDENTALS: Record<string, number> = { '^^': 2, '^': 1, '=': 0, _: -1, __: -2 };

/** Longest note, in unit lengths: 64 whole notes of eighths. Longer is a slip of the finger. */
const LONGEST = 512;
const MOST_BARS_OF_REST = 1000;

export function readMusicLine(text: string, line: number, context: AbcContext): void {
  const { issues } = context;
  let at = 0;
  const place = (column = at): Place => ({ line, column: column + 1 });

  const typedNote = (m: RegExpExecArray, from: number): TypedNote => {
    const letter = m[2]!.toUpperCase() as Letter;
    const marks = m[3]!;
    const octave = (m[2]! === letter ? 4 : 5) + count(marks, "'") - count(marks, ',');
    const sign = m[1];
    if (sign?.includes('/')) {
      const message = `A quarter tone (${sign}${m[2]}) cannot be played here: taken without its accidental`;
      issues.warn('abc.quarter-tone', message, place(from));
    }
    const accidental = sign === undefined ? undefined : ACCIDENTALS[sign];
    return { letter, octave, ...(accidental !== undefined && { accidental }), place: place(from) };
  };

  const length = (digits: string, slashes: string): number => {
    let value = digits === '' ? 1 : Number(digits);
    for (const [, d] of slashes.matchAll(/\/([0-9]*)/g)) value /= d === '' ? 2 : Number(d);
    if (value > 0 && value <= LONGEST) return value;
    const message = `Cannot read the length ${digits}${slashes}: it must be over 0 and at most ${LONGEST} unit lengths`;
    issues.error('abc.length', message, place());
    return 1;
  };

  const chord = (): void => {
    const from = at;
    at += 1;
    const notes: TypedNote[] = [];
    const lengths: number[] = [];
    const ties: number[] = [];
    let closed = false;
    while (at < text.length) {
      const c = text[at]!;
      NOTE.lastIndex = at;
      const m = NOTE.exec(text);
      if (m) {
        notes.push(typedNote(m, at));
        lengths.push(length(m[4]!, m[5]!));
        at = NOTE.lastIndex;
      } else if (c === ']') {
        closed = true;
        at += 1;
        break;
      } else if (c === '-') {
        if (notes.length > 0) ties.push(notes.length - 1);
        at += 1;
      } else if (c === '(') {
        context.voice.openSlur();
        at += 1;
      } else if (c === ')') {
        context.voice.closeSlur(place());
        at += 1;
      } else if (decoration()) {
        // taken
      } else if (/[\s.]/.test(c)) at += 1;
      else {
        issues.error('abc.chord', `Cannot read the chord: "${c}" is not a note`, place());
        at += 1;
      }
    }
    if (!closed) issues.error('abc.chord', 'Cannot read the chord: it is never closed with "]"', place(from));
    LENGTH.lastIndex = at;
    const outer = LENGTH.exec(text)!;
    const factor = length(outer[1]!, outer[2]!);
    at = LENGTH.lastIndex;
    if (notes.length === 0) {
      issues.warn('abc.chord', 'A chord without notes is left out', place(from));
      return;
    }
    context.voice.addNotes(
      notes,
      lengths.map((l) => l * factor),
    );
    for (const index of ties) context.voice.tie(place(from), index);
  };

  const graceNotes = (): void => {
    const from = at;
    const end = text.indexOf('}', at);
    if (end < 0) {
      issues.error('abc.grace', 'Cannot read the grace notes: they are never closed with "}"', place(from));
      at = text.length;
      return;
    }
    at += 1;
    while (at < end) {
      NOTE.lastIndex = at;
      const m = NOTE.exec(text);
      if (m) {
        context.voice.addGrace(typedNote(m, at));
        at = NOTE.lastIndex;
      } else if (text[at] === '(') {
        context.voice.openSlur();
        at += 1;
      } else if (text[at] === ')') {
        context.voice.closeSlur(place());
        at += 1;
      } else {
        if (!/[\s/[\]<>.\-0-9]/.test(text[at]!)) {
          issues.warn('abc.grace', `Not understood among grace notes: "${text[at]}"`, place());
        }
        at += 1;
      }
    }
    at = end + 1;
  };

  /** A decoration at `at`, long or short; false where there is none. */
  const decoration = (): boolean => {
    const c = text[at]!;
    if (c === '!' || (c === '+' && context.plusDecorations)) {
      const end = text.indexOf(c, at + 1);
      if (end < 0 || end - at > 30 || /[|\s]/.test(text.slice(at + 1, end))) {
        issues.warn('abc.decoration', `A "${c}" is left out: it opens no decoration`, place());
        at += 1;
        return true;
      }
      decorate(text.slice(at + 1, end));
      at = end + 1;
      return true;
    }
    if (!/[.~H-Wh-w]/.test(c)) return false;
    const name = context.signs.get(c) ?? SHORT_SIGNS[c];
    if (name === undefined) return false;
    decorate(name);
    at += 1;
    return true;
  };

  const decorate = (name: string): void => {
    const found = name === '' ? { kind: 'none' as const } : decorationNamed(name);
    if (!found)
      issues.warn('abc.decoration', `The decoration "${name}" is not known: it is left out`, place());
    else if (found.kind === 'route') context.voice.addRoute(found.route);
    else context.voice.marks.add(found);
  };

  const tuplet = (m: RegExpExecArray): void => {
    const p = Number(m[1]);
    const q = m[2] ? Number(m[2]) : (TUPLET_TIME[p] ?? (context.compound ? 3 : 2));
    const r = m[3] ? Number(m[3]) : p;
    at += m[0].length;
    if (q < 1 || q > 64 || r < 1 || r > 256) {
      issues.error('abc.tuplet', `Cannot read the tuplet "${m[0]}"`, place(at - m[0].length));
      return;
    }
    context.voice.tuplet = { factor: q / p, left: r };
  };

  while (at < text.length && !issues.failed) {
    const c = text[at]!;
    if (/[\s`]/.test(c)) {
      at += 1;
      continue;
    }
    NOTE.lastIndex = at;
    const note = NOTE.exec(text);
    if (note) {
      context.voice.addNotes([typedNote(note, at)], [length(note[4]!, note[5]!)]);
      at = NOTE.lastIndex;
      continue;
    }
    REST.lastIndex = at;
    const rest = REST.exec(text);
    if (rest) {
      const value = length(rest[2]!, rest[3]!);
      if (rest[1] === 'Z' || rest[1] === 'X') {
        if (!Number.isInteger(value) || value > MOST_BARS_OF_REST) {
          issues.error(
            'abc.length',
            `Cannot read ${rest[0]}: bars of rest are 1 to ${MOST_BARS_OF_REST}`,
            place(),
          );
        } else context.voice.addBarsOfRest(value, place());
      } else if (rest[1] !== 'y') context.voice.addRest(value);
      at = REST.lastIndex;
      continue;
    }
    const field = /^\[([A-Za-z]):([^\]]*)(\]?)/.exec(c === '[' ? text.slice(at, at + 400) : '');
    if (field) {
      if (field[3] === '')
        issues.error('abc.field', 'Cannot read the field: it is never closed with "]"', place());
      else context.inlineField(field[1]!, field[2]!.trim(), place());
      at += field[0].length;
      continue;
    }
    const bar = c === '|' || c === ':' || c === '[' || c === '.' ? readBarLine(text, at) : undefined;
    if (bar) {
      context.voice.closeBar(bar);
      at += bar.length;
      continue;
    }
    TUPLET.lastIndex = at;
    const group = TUPLET.exec(text);
    if (group) {
      tuplet(group);
      continue;
    }
    if (c === '[') chord();
    else if (c === '{') graceNotes();
    else if (c === '(' || (c === '.' && text[at + 1] === '(')) {
      context.voice.openSlur();
      at += c === '.' ? 2 : 1;
    } else if (c === ')') {
      context.voice.closeSlur(place());
      at += 1;
    } else if (c === '-' || (c === '.' && text[at + 1] === '-')) {
      context.voice.tie(place());
      at += c === '.' ? 2 : 1;
    } else if (c === '>' || c === '<') {
      const signs = /^(>+|<+)/.exec(text.slice(at, at + 8))![0];
      const short = 1 / 2 ** signs.length;
      const [before, after] = c === '>' ? [2 - short, short] : [short, 2 - short];
      context.voice.breakRhythm(before, after, place());
      at += signs.length;
    } else if (c === '&') {
      context.voice.beginOverlay(place());
      at += 1;
    } else if (c === '"') {
      const end = text.indexOf('"', at + 1);
      if (end < 0) issues.error('abc.quote', 'Cannot read on: a quotation mark is never closed', place());
      at = end < 0 ? text.length : end + 1;
    } else if (c === '$' || c === '\\' || c === '*') {
      at += 1;
    } else if (!decoration()) {
      issues.warn('abc.unknown', `Not understood and left out: "${c}"`, place());
      at += 1;
    }
  }
}

/** "p notes in the time of q" (ABC 2.1, 4.13); 5, 7 and 9 take the time of 2, of 3 in compound meter. */
const TUPLET_TIME: Record<number, number> = { 2: 3, 3: 2, 4: 3, 6: 2, 8: 3 };

function count(text: string, sign: string): number {
  return text.split(sign).length - 1;
}
