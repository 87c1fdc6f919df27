// The fields of ABC 2.1 that carry music: K: (key, clef, transposition), M:, L:, Q:, P: and the words of V:.
// Each reader returns undefined for text that it does not understand; the caller says where.

import type { Meter } from '../../music/meter.ts';
import type { Mode } from '../../music/passage.ts';
import { keyAlter, LETTERS, type Letter } from '../../music/pitch.ts';
import type { Tempo } from '../../music/tempo.ts';
import { TICKS_PER_WHOLE } from '../../music/ticks.ts';
import type { FilePlace, IssueList } from '../reading.ts';

export type Alters = Readonly<Record<Letter, number>>;

export interface AbcKey {
  /** Absent where the field changes only the clef. */
  readonly signature?: { readonly fifths: number; readonly mode: Mode; readonly alters: Alters };
  readonly staffWords: StaffWords;
  /** Words that were not understood. */
  readonly unknown: readonly string[];
}

/** What K: and V: say beside the key. */
export interface StaffWords {
  readonly clef?: string;
  /** Octaves that the clef's +8 or -8 adds. */
  readonly clefOctaves?: number;
  readonly octave?: number;
  readonly transpose?: number;
  readonly name?: string;
}

/** Sharps of the major key on each letter, from C; the other modes count down from it (circle of fifths). */
const MAJOR_FIFTHS: Record<Letter, number> = { C: 0, G: 1, D: 2, A: 3, E: 4, B: 5, F: -1 };
const MODE_FIFTHS: Record<string, readonly [fifths: number, mode: Mode]> = {
  '': [0, 'major'],
  maj: [0, 'major'],
  ion: [0, 'major'],
  m: [-3, 'minor'],
  min: [-3, 'minor'],
  aeo: [-3, 'minor'],
  dor: [-2, 'dorian'],
  phr: [-4, 'phrygian'],
  lyd: [1, 'lydian'],
  mix: [-1, 'mixolydian'],
  loc: [-5, 'locrian'],
};

const ACCIDENTALS: Record<string, number> = { '^^': 2, '^': 1, '=': 0, _: -1, __: -2 };
const CLEF =
  /^(treble|alto|tenor|bass|perc|none|soprano|mezzosoprano|baritone|[GCF])?([1-5])?([+-](?:8|15))?$/i;

/** K: field. @example readKey('Bb') // signature.fifths is -2 */
export function readKey(text: string): AbcKey {
  const words = splitWords(text);
  const first = words[0] ?? '';
  const unknown: string[] = [];
  if (/^none$/i.test(first) || first === '') {
    return { signature: signature(0, 'major'), ...rest(words.slice(1), unknown) };
  }
  // Highland pipe keys: HP writes no signature, Hp writes F sharp, C sharp and G natural (ABC 2.1, 3.1.14).
  if (first === 'HP' || first === 'Hp') {
    return { signature: signature(first === 'HP' ? 0 : 2, 'major'), ...rest(words.slice(1), unknown) };
  }
  const m = /^([A-G])([#b]?)([A-Za-z]*)$/.exec(first);
  if (!m || isStaffWord(first)) return rest(words, unknown);
  let mode = m[3] ?? '';
  let after = 1;
  if (mode === '' && words[1] && modeOf(words[1])) {
    mode = words[1];
    after = 2;
  }
  const found = modeOf(mode);
  if (!found) return { ...rest(words.slice(1), unknown), unknown: [first, ...unknown] };
  const tonic = MAJOR_FIFTHS[m[1] as Letter] + (m[2] === '#' ? 7 : m[2] === 'b' ? -7 : 0);
  const fifths = tonic + found[0];
  if (fifths < -7 || fifths > 7)
    return { ...rest(words.slice(after), unknown), unknown: [first, ...unknown] };
  const base = signature(fifths, found[1]);
  const alters: Record<Letter, number> = { ...base.alters };
  let explicit = false;
  const others: string[] = [];
  for (const word of words.slice(after)) {
    if (word.toLowerCase() === 'exp') {
      explicit = true;
      for (const letter of LETTERS) alters[letter] = 0;
      continue;
    }
    const accidentals = [...word.matchAll(/(\^\^|\^|=|__|_)([A-Ga-g])/g)];
    if (accidentals.length > 0 && accidentals.map((a) => a[0]).join('') === word) {
      for (const a of accidentals) alters[a[2]!.toUpperCase() as Letter] = ACCIDENTALS[a[1]!]!;
    } else others.push(word);
  }
  const written = explicit ? fifthsOf(alters) : fifths;
  return { signature: { fifths: written, mode: found[1], alters }, ...rest(others, unknown) };
}

/** The signature of `fifths` with its mode. */
export function signature(fifths: number, mode: Mode): { fifths: number; mode: Mode; alters: Alters } {
  const alters = Object.fromEntries(LETTERS.map((l) => [l, keyAlter(l, fifths)])) as Record<Letter, number>;
  return { fifths, mode, alters };
}

/** The ordinary signature that writes these accidentals, 0 where there is none. */
function fifthsOf(alters: Alters): number {
  for (let fifths = -7; fifths <= 7; fifths += 1) {
    if (LETTERS.every((l) => keyAlter(l, fifths) === alters[l])) return fifths;
  }
  return 0;
}

/** "Only the first three letters of the mode are parsed and capitalisation is ignored" (ABC 2.1, 3.1.14). */
function modeOf(text: string): readonly [number, Mode] | undefined {
  const lower = text.toLowerCase();
  return MODE_FIFTHS[lower] ?? MODE_FIFTHS[lower.slice(0, 3)];
}

function rest(words: readonly string[], unknown: string[]): { staffWords: StaffWords; unknown: string[] } {
  return { staffWords: readStaffWords(words, unknown), unknown };
}

function isStaffWord(word: string): boolean {
  return /=/.test(word) || (word.length > 1 && CLEF.test(word));
}

/** Words of K: or V:, quoted strings kept whole. */
export function splitWords(text: string): string[] {
  return [...text.matchAll(/[^\s"=]+\s*=\s*"[^"]*"|[^\s"]+|"[^"]*"/g)].map((m) => m[0]);
}

/** clef=, octave=, transpose=, name= and the like. Words that only shape the page are passed over. */
export function readStaffWords(words: readonly string[], unknown: string[]): StaffWords {
  let result: StaffWords = {};
  for (const word of words) {
    const [, key = '', value = ''] = /^([^=]+?)\s*=\s*"?([^"]*)"?$/.exec(word) ?? [];
    const name = key.toLowerCase();
    if (name === 'octave' && /^[+-]?\d$/.test(value)) result = { ...result, octave: Number(value) };
    else if (name === 'transpose' && /^[+-]?\d{1,2}$/.test(value))
      result = { ...result, transpose: Number(value) };
    else if (name === 'name' || name === 'nm') result = { ...result, name: value };
    else if (name === 'clef' || (name === '' && CLEF.test(word))) {
      const clef = CLEF.exec(name === 'clef' ? value : word);
      if (!clef) {
        unknown.push(word);
        continue;
      }
      const octaves = clef[3] ? Math.sign(Number(clef[3])) * (Math.abs(Number(clef[3])) === 8 ? 1 : 2) : 0;
      result = { ...result, clef: (clef[1] ?? 'treble').toLowerCase(), clefOctaves: octaves };
    } else if (
      !/^(middle|m|stem|stems|gstem|dyn|lyrics|snm|subname|sname|merge|up|down|stafflines|staffscale|style|brace|brc|bracket|brk|cue|space|overlay)$/.test(
        name || word.toLowerCase(),
      )
    ) {
      unknown.push(word);
    }
  }
  return result;
}

/** M: field; 'free' for none. @example readMeter('2+3/8') // { count: 5, unit: 8, groups: [2, 3] } */
export function readMeter(text: string): Meter | 'free' | undefined {
  const t = text.trim();
  if (t === 'C') return { count: 4, unit: 4 };
  if (t === 'C|') return { count: 2, unit: 2 };
  if (/^none$/i.test(t) || t === '') return 'free';
  const m = /^\(?\s*(\d{1,2}(?:\s*\+\s*\d{1,2})*)\s*\)?\s*\/\s*(\d{1,2})$/.exec(t);
  if (!m) return undefined;
  const groups = m[1]!.split('+').map(Number);
  const count = groups.reduce((sum, n) => sum + n, 0);
  const unit = Number(m[2]);
  if (groups.includes(0) || count > 64 || ![1, 2, 4, 8, 16, 32, 64].includes(unit)) return undefined;
  return { count, unit, ...(groups.length > 1 && { groups }) };
}

/** A meter among other words ("FREI4/4") counts; without one the bars are taken as they are written. Both are told. */
export function meterOf(text: string, place: FilePlace, issues: IssueList): Meter | 'free' {
  const meter = readMeter(text);
  if (meter !== undefined) return meter;
  const inside = /\d{1,2}(?:\+\d{1,2})*\/\d{1,2}(?!\d)/.exec(text)?.[0];
  const found = inside === undefined ? undefined : readMeter(inside);
  const taken = found === undefined ? 'the bars are taken as they are written' : `read as ${inside}`;
  issues.warn('abc.meter', `Not understood: the meter "${text}": ${taken}`, place);
  return found ?? 'free';
}

/** L: field in ticks. @example readUnitLength('1/8') // 5040 */
export function readUnitLength(text: string): number | undefined {
  const m = /^\s*1(?:\s*\/\s*(\d{1,3}))?\s*$/.exec(text);
  const unit = Number(m?.[1] ?? 1);
  return m && [1, 2, 4, 8, 16, 32, 64, 128, 256, 512].includes(unit) ? TICKS_PER_WHOLE / unit : undefined;
}

/** "If the meter is less than 0.75 the default is a sixteenth note, else an eighth" (ABC 2.1, 3.1.7). */
export function defaultUnitLength(meter: Meter | 'free'): number {
  if (meter === 'free') return TICKS_PER_WHOLE / 8;
  return meter.count / meter.unit < 0.75 ? TICKS_PER_WHOLE / 16 : TICKS_PER_WHOLE / 8;
}

/** Q: field. 'words' where there are words but no number. The old forms Q:120 and Q:C=120 count unit lengths. */
export function readTempo(text: string, unitTicks: number): Tempo | 'words' | undefined {
  const bare = text.replace(/"[^"]*"/g, ' ').trim();
  if (bare === '') return /"/.test(text) ? 'words' : undefined;
  const m = /^((?:\d+\/\d+\s*)+|C\d*(?:\/\d+)?\s*)?=?\s*(\d{1,4}(?:\.\d{1,6})?)$/.exec(bare);
  if (!m) return undefined;
  const bpm = Number(m[2]);
  let beatTicks = unitTicks;
  if (m[1]?.startsWith('C')) {
    const [n = '', d = ''] = m[1].slice(1).trim().split('/');
    beatTicks = (unitTicks * Number(n || 1)) / Number(d || 1);
  } else if (m[1]) {
    beatTicks = 0;
    for (const [, n, d] of m[1].matchAll(/(\d+)\/(\d+)/g))
      beatTicks += (Number(n) / Number(d)) * TICKS_PER_WHOLE;
  }
  if (!(bpm > 0) || !(beatTicks > 0) || !Number.isInteger(beatTicks)) return undefined;
  return { bpm, beatTicks };
}

/** P: in the header, played out: "(AB)2.C" is A B A B C. Undefined where it is not understood or too long. */
export function readPartOrder(text: string): string[] | undefined {
  const tokens = text.replace(/[\s.]/g, '').match(/[A-Z]|\d+|[()]/g) ?? [];
  if (tokens.join('') !== text.replace(/[\s.]/g, '')) return undefined;
  let at = 0;
  const group = (depth: number): string[] | undefined => {
    const out: string[] = [];
    while (at < tokens.length && tokens[at] !== ')') {
      const token = tokens[at++]!;
      const inner = token === '(' ? (depth < 20 ? group(depth + 1) : undefined) : [token];
      if (!inner || /\d/.test(token)) return undefined;
      if (token === '(' && tokens[at++] !== ')') return undefined;
      const times = /^\d+$/.test(tokens[at] ?? '') ? Number(tokens[at++]) : 1;
      if (times * inner.length + out.length > 1000) return undefined;
      for (let i = 0; i < times; i += 1) out.push(...inner);
    }
    return out;
  };
  const order = group(0);
  return order && at === tokens.length && order.length > 0 ? order : undefined;
}
