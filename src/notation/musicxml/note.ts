// One MusicXML <note>: pitch, length, ties and marks, before anything is known of what stands around it.

import type { Articulation, Ornament } from '../../music/onset.ts';
import { LETTERS, type Letter, type Spelling } from '../../music/pitch.ts';
import { TICKS_PER_WHOLE } from '../../music/ticks.ts';
import type { IssueList } from '../reading.ts';
import { child, childNumber, childrenNamed, childText, placeOf, type XmlElement } from './xml-tree.ts';

const TYPES: Record<string, number> = {
  maxima: 8,
  long: 4,
  breve: 2,
  whole: 1,
  half: 1 / 2,
  quarter: 1 / 4,
  eighth: 1 / 8,
  '16th': 1 / 16,
  '32nd': 1 / 32,
  '64th': 1 / 64,
  '128th': 1 / 128,
  '256th': 1 / 256,
  '512th': 1 / 512,
  '1024th': 1 / 1024,
};

const ORNAMENTS: Record<string, Ornament> = {
  'trill-mark': 'trill',
  shake: 'trill',
  mordent: 'mordent',
  'inverted-mordent': 'mordent',
  turn: 'turn',
  'delayed-turn': 'turn',
  'inverted-turn': 'turn',
  'delayed-inverted-turn': 'turn',
  'vertical-turn': 'turn',
  'inverted-vertical-turn': 'turn',
};

const ARTICULATIONS: Record<string, Articulation> = {
  staccato: 'staccato',
  staccatissimo: 'staccato',
  spiccato: 'staccato',
  tenuto: 'tenuto',
  accent: 'accent',
  'strong-accent': 'marcato',
  'soft-accent': 'accent',
  'breath-mark': 'breath',
};

/** Notations that are played otherwise than is expected here: told. */
const LEFT_OUT: Record<string, string> = {
  arpeggiate: 'An arpeggio sign is left out: the notes of its chord are expected together',
  glissando: 'A glissando is left out: its first and last note are expected',
  slide: 'A slide is left out: its first and last note are expected',
};

/** Ticks of a note value by its MusicXML name, undotted. */
export function valueTicks(type: string): number | undefined {
  const part = Object.hasOwn(TYPES, type) ? TYPES[type] : undefined;
  return part === undefined ? undefined : part * TICKS_PER_WHOLE;
}

/** The written pitch; undefined after an error. Quarter tones are told and taken to the nearest semitone. */
export function readSpelling(note: XmlElement, issues: IssueList): Spelling | undefined {
  const pitch = child(note, 'pitch');
  if (!pitch) {
    issues.error('musicxml.note', 'Cannot read a note that has neither pitch nor rest', placeOf(note));
    return undefined;
  }
  const letter = childText(pitch, 'step');
  const octave = childNumber(pitch, 'octave');
  const alter = childNumber(pitch, 'alter') ?? 0;
  const known = LETTERS.find((l) => l === letter) as Letter | undefined;
  if (
    !known ||
    octave === undefined ||
    !Number.isInteger(octave) ||
    Number.isNaN(alter) ||
    Math.abs(alter) > 3
  ) {
    const found = `step "${letter ?? ''}", alter ${alter}, octave ${octave ?? 'missing'}`;
    issues.error('musicxml.pitch', `Cannot read a pitch: ${found}`, placeOf(pitch));
    return undefined;
  }
  if (!Number.isInteger(alter)) {
    const message = `A quarter tone (${letter}${octave}, alter ${alter}) is taken to the nearest semitone`;
    issues.warn('musicxml.quarter-tone', message, placeOf(pitch));
  }
  return { letter: known, alter: Math.round(alter), octave };
}

/**
 * Length in ticks. <duration> counts; where type, dots and tuplet name a length that differs from it by less than one
 * division (a file whose divisions do not divide its tuplets), the named length is the exact one.
 */
export function readLength(
  note: XmlElement,
  ticksPerDivision: number,
  issues: IssueList,
): number | undefined {
  const duration = childNumber(note, 'duration');
  if (duration === undefined || !(duration >= 0) || duration * ticksPerDivision > 64 * TICKS_PER_WHOLE) {
    const found = duration === undefined ? 'it is missing' : `found "${childText(note, 'duration')}"`;
    issues.error('musicxml.duration', `Cannot read the duration of a note: ${found}`, placeOf(note));
    return undefined;
  }
  const counted = duration * ticksPerDivision;
  if (Number.isInteger(counted) && ticksPerDivision >= 1 && !child(note, 'time-modification')) return counted;
  const named = namedLength(note);
  return named !== undefined && Math.abs(named - counted) < ticksPerDivision ? named : counted;
}

function namedLength(note: XmlElement): number | undefined {
  const value = valueTicks(childText(note, 'type') ?? '');
  if (value === undefined) return undefined;
  const dots = childrenNamed(note, 'dot').length;
  const dotted = value * (2 - 1 / 2 ** dots);
  const modification = child(note, 'time-modification');
  if (!modification) return dotted;
  const actual = childNumber(modification, 'actual-notes') ?? 1;
  const normal = childNumber(modification, 'normal-notes') ?? 1;
  return actual > 0 && normal > 0 ? (dotted * normal) / actual : undefined;
}

/** Whether a tie starts here: <tie> is what sounds, <tied> what is drawn; files are found with either. */
export function startsTie(note: XmlElement): boolean {
  if (childrenNamed(note, 'tie').some((tie) => tie.attributes.type === 'start')) return true;
  if (child(note, 'tie')) return false;
  return childrenNamed(note, 'notations').some((n) =>
    childrenNamed(n, 'tied').some((tied) => tied.attributes.type === 'start'),
  );
}

export interface NoteMarks {
  readonly ornament?: Ornament;
  readonly articulations: readonly Articulation[];
  readonly slurStarts: readonly string[];
  readonly slurStops: readonly string[];
}

export function readMarks(note: XmlElement, issues: IssueList): NoteMarks {
  let ornament: Ornament | undefined;
  const articulations: Articulation[] = [];
  const slurStarts: string[] = [];
  const slurStops: string[] = [];
  const add = (articulation: Articulation | undefined) => {
    if (articulation && !articulations.includes(articulation)) articulations.push(articulation);
  };
  for (const notations of childrenNamed(note, 'notations')) {
    for (const mark of notations.children) {
      const number = mark.attributes.number ?? '1';
      if (mark.name === 'slur' && mark.attributes.type === 'start') slurStarts.push(number);
      else if (mark.name === 'slur' && mark.attributes.type === 'stop') slurStops.push(number);
      else if (mark.name === 'fermata') add('fermata');
      else if (Object.hasOwn(LEFT_OUT, mark.name)) {
        issues.warnOnce(`musicxml.${mark.name}`, LEFT_OUT[mark.name]!, placeOf(mark));
      } else if (mark.name === 'articulations') {
        for (const { name } of mark.children) {
          if (name === 'detached-legato') {
            add('tenuto');
            add('staccato');
          } else if (Object.hasOwn(ARTICULATIONS, name)) add(ARTICULATIONS[name]);
        }
      } else if (mark.name === 'ornaments') {
        for (const { name } of mark.children) {
          if (Object.hasOwn(ORNAMENTS, name)) ornament ??= ORNAMENTS[name];
          else if (name === 'tremolo') {
            issues.warnOnce('musicxml.tremolo', 'A tremolo is read as one held note', placeOf(mark));
          }
        }
      }
    }
  }
  return { ...(ornament && { ornament }), articulations, slurStarts, slurStops };
}
