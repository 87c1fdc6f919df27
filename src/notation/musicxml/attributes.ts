// What holds from a place on in a MusicXML part: divisions, key, meter, transposition; and the tempo of a direction.

import { beatTicks, type Meter } from '../../music/meter.ts';
import type { Mode } from '../../music/passage.ts';
import type { Tempo } from '../../music/tempo.ts';
import { TICKS_PER_QUARTER } from '../../music/ticks.ts';
import type { IssueList } from '../reading.ts';
import { valueTicks } from './note.ts';
import { child, childNumber, childrenNamed, childText, placeOf, type XmlElement } from './xml-tree.ts';

const MODES: Record<string, Mode> = {
  major: 'major',
  ionian: 'major',
  minor: 'minor',
  aeolian: 'minor',
  dorian: 'dorian',
  phrygian: 'phrygian',
  lydian: 'lydian',
  mixolydian: 'mixolydian',
  locrian: 'locrian',
};

export function readKey(key: XmlElement, issues: IssueList): { fifths: number; mode: Mode } | undefined {
  const fifths = childNumber(key, 'fifths');
  if (fifths === undefined || !Number.isInteger(fifths) || Math.abs(fifths) > 7) {
    issues.warn('musicxml.key', 'A key signature is not understood: read without one', placeOf(key));
    return undefined;
  }
  const mode = childText(key, 'mode') ?? 'major';
  return { fifths, mode: Object.hasOwn(MODES, mode) ? MODES[mode]! : 'major' };
}

/** Beats such as "3+2" and several pairs (3/8 + 2/4) are groups and add up; 'free' is senza misura. */
export function readTime(time: XmlElement, issues: IssueList): Meter | 'free' | undefined {
  if (child(time, 'senza-misura')) return 'free';
  const beats = childrenNamed(time, 'beats');
  const types = childrenNamed(time, 'beat-type');
  const pairs = beats.map((b, i) => ({
    counts: b.text.split('+').map((n) => (/^\s*[1-9]\d{0,2}\s*$/.test(n) ? Number(n) : Number.NaN)),
    unit: Number(types[i]?.text ?? Number.NaN),
  }));
  const unit = Math.max(...pairs.map((p) => p.unit));
  const groups = pairs.flatMap((p) => p.counts.map((n) => (n * unit) / p.unit));
  const count = groups.reduce((sum, n) => sum + n, 0);
  if (pairs.length === 0 || !(count >= 1 && count <= 256) || ![1, 2, 4, 8, 16, 32, 64].includes(unit)) {
    issues.error('musicxml.time', 'Cannot read a meter', placeOf(time));
    return undefined;
  }
  return { count, unit, ...(groups.length > 1 && { groups }) };
}

/** Semitones from written to sounding; octave-change is not included in chromatic (MusicXML 4.0, transpose). */
export function readTranspose(transpose: XmlElement, issues: IssueList): number {
  const chromatic = childNumber(transpose, 'chromatic') ?? 0;
  const octaves = childNumber(transpose, 'octave-change') ?? 0;
  const semitones = chromatic + 12 * octaves;
  if (child(transpose, 'double')) {
    issues.warnOnce('musicxml.double', 'A doubling in octaves is left out', placeOf(transpose));
  }
  if (Number.isInteger(semitones) && Math.abs(semitones) <= 60) return semitones;
  issues.error('musicxml.transpose', 'Cannot read a transposition', placeOf(transpose));
  return 0;
}

/** A metronome mark keeps its beat unit; a bare sound tempo (quarters a minute) is told in the meter's own beat. */
export function readTempo(
  element: XmlElement,
  sound: XmlElement | undefined,
  meter: Meter,
  issues: IssueList,
): Tempo | undefined {
  const metronome = childrenNamed(element, 'direction-type')
    .map((type) => child(type, 'metronome'))
    .find((m) => m !== undefined);
  const marked = metronome && readMetronome(metronome, issues);
  if (marked) return marked;
  const text = sound?.attributes.tempo;
  if (text === undefined) return undefined;
  const quarters = Number(text);
  if (!(quarters > 0) || quarters > 4000) {
    issues.warn('musicxml.tempo', `Not understood: the tempo "${text}"`, placeOf(element));
    return undefined;
  }
  const beat = beatTicks(meter);
  return { bpm: roundTo((quarters * TICKS_PER_QUARTER) / beat), beatTicks: beat };
}

function readMetronome(metronome: XmlElement, issues: IssueList): Tempo | undefined {
  const perMinute = /\d{1,4}(\.\d{1,6})?/.exec(childText(metronome, 'per-minute') ?? '')?.[0];
  const units = childrenNamed(metronome, 'beat-unit');
  const value = valueTicks(units[0]?.text.trim() ?? '');
  if (perMinute === undefined || units.length !== 1 || value === undefined || Number(perMinute) === 0) {
    issues.warn('musicxml.tempo', 'A metronome mark is not understood: it is left out', placeOf(metronome));
    return undefined;
  }
  const dots = childrenNamed(metronome, 'beat-unit-dot').length;
  return { bpm: Number(perMinute), beatTicks: value * (2 - 1 / 2 ** dots) };
}

function roundTo(value: number): number {
  return Math.round(value * 1e6) / 1e6;
}
