// Fingerings in words: marks under the notes, why an alternate is taken, what makes a change hard, which finger was late.

import type { Foreseen } from '../coaching/foreseen.ts';
import type { Decision, PlannedSlide } from '../fingering/decision.ts';
import { contraryMotion, type FingerChange } from '../fingering/finger-change.ts';
import type { Fingering, FingeringName } from '../fingering/fingering.ts';
import type { LateFingers } from '../fingering/late-finger.ts';
import type { LineNote } from '../fingering/line.ts';
import type { PartPlan } from '../fingering/passage-plan.ts';
import { spellingName } from '../music/pitch.ts';
import type { Span } from '../music/span.ts';
import { snagName } from './survey-picture.ts';

/** What is written under a note; four characters at most. */
const MARKS: Readonly<Record<FingeringName, string>> = {
  '': '',
  left: 'L',
  right: 'R',
  chromatic: 'chr',
  side: 'side',
  sliver: 'sliv',
  'one-and-one': '1+1',
  fork: 'fork',
  bis: 'bis',
  'low C#': 'low',
  palm: 'palm',
  front: 'fr',
  trill: 'tr',
  thumb: 'th',
};

/** A fingering that is only believed has a question mark. @example fingeringMark(left) // 'L' */
export function fingeringMark({ name, grade }: Fingering): string {
  return name === '' ? '' : `${MARKS[name]}${grade === 'B' ? '?' : ''}`;
}

/** What to write under the notes, by the number of the onset: only where there is a choice that matters. */
export function fingeringMarks({ decisions, notes }: PartPlan): Map<number, string> {
  return new Map(
    decisions
      .filter(({ note }) => !notes[note]!.grace)
      .map(({ note, fingering }) => [notes[note]!.onset + 1, fingeringMark(fingering)]),
  );
}

/** The marks onset by onset, '' where there is none; empty where nothing needs a decision. */
export function fingeringMarksByOnset(plan: PartPlan, onsets: number): string[] {
  const marks = fingeringMarks(plan);
  return marks.size > 0 ? Array.from({ length: onsets }, (_, i) => marks.get(i + 1) ?? '') : [];
}

const NUMBERS = [
  'no',
  'one',
  'two',
  'three',
  'four',
  'five',
  'six',
  'seven',
  'eight',
  'nine',
  'ten',
  'eleven',
];

function counted(count: number): string {
  return `${NUMBERS[count] ?? count} finger${count === 1 ? '' : 's'}`;
}

/** What makes a change of fingers hard. @example changeWords(breakChange) // 'eight fingers at once over the break' */
export function changeWords(change: FingerChange): string {
  const { moved, shifts, overBreak } = change;
  const { within, between } = contraryMotion(change);
  const over = overBreak ? ' over the break' : '';
  if (moved.length === 0) return overBreak ? 'the same fingers over the break' : 'the same fingers';
  const slides = shifts.filter(({ kind }) => kind !== 'roll').map(({ digit }) => `the ${digit} slides`);
  const against = within > 0 ? 'in contrary motion' : between ? 'one hand against the other' : '';
  const fingers = [
    `${counted(moved.length)}${moved.length > 1 ? ' at once' : ''}${over}`,
    ...(against ? [against] : []),
    ...slides,
  ];
  return fingers.join(', ');
}

/** Note names by index of note. */
export type LineNames = (note: number) => string;

export function lineNames(notes: readonly LineNote[]): LineNames {
  return (note) => spellingName(notes[note]!.spelling);
}

function fingeringWords({ name }: Fingering): string {
  if (name === 'left' || name === 'right') return `the ${name} little finger`;
  return name === '' ? 'the standard fingering' : `the fingering "${name}"`;
}

/** @example decisionSentence(decision, names) // 'left: the right little finger would slide to D#5 after it' */
export function decisionSentence({ note, fingering, rival, reason }: Decision, names: LineNames): string {
  const what = `${fingering.name}${fingering.grade === 'B' ? ' (believed, not sure)' : ''}`;
  if (reason.kind === 'line') return `${what}: the line as a whole comes out easier`;
  const place =
    reason.neighbour < note
      ? `from ${names(reason.neighbour)} before it`
      : `to ${names(reason.neighbour)} after it`;
  if (reason.kind === 'slide') return `${what}: the ${reason.shift.digit} would slide ${place}`;
  const would = `${fingeringWords(rival)} would`;
  switch (reason.kind) {
    case 'fingers':
      return `${what}: ${would} move ${counted(reason.count)} more ${place}`;
    case 'within':
      return `${what}: ${would} mean contrary motion in one hand ${place}`;
    case 'between':
      return `${what}: ${would} set one hand against the other ${place}`;
    case 'rolls':
      return `${what}: ${would} mean rolling a finger ${place}`;
    case 'reaches':
      return `${what}: ${would} mean reaching for a key ${place}`;
    case 'breaks':
      return `${what}: ${would} cross the break ${place}`;
  }
}

/** @example slideSentence(slide, names) // 'D#5 to C5: the right little finger slides, no fingering avoids it' */
export function slideSentence({ note, shift: { digit, kind } }: PlannedSlide, names: LineNames): string {
  const how = kind === 'rollers' ? 'slides, a short way' : 'slides: no other fingering is easier';
  return `${names(note - 1)} to ${names(note)}: the ${digit} ${how}`;
}

/** @example lateFingerWords(late) // 'the right ring finger was late' */
export function lateFingerWords({ way, digits }: LateFingers): string {
  const who = digits.map((digit) => `the ${digit}`).join(' and ');
  return `${who} ${digits.length > 1 ? 'were' : 'was'} ${way}`;
}

/** At most so many: more are no forecast. */
const MOST_FORESEEN = 3;

/**
 * What will be hard, the hardest first; undefined where nothing is foreseen.
 * @example foreseenSentence(foreseen, span) // 'Hardest for the fingers: 1. A#4 to B4, bar 2 after beat 2 (eight fingers at once over the break).'
 */
export function foreseenSentence(foreseen: readonly Foreseen[], span: Span): string | undefined {
  if (foreseen.length === 0) return undefined;
  const told = foreseen.slice(0, MOST_FORESEEN);
  const ranked = told.map(
    (one, i) => `${told.length > 1 ? `${i + 1}. ` : ''}${snagName(one, span)} (${changeWords(one.change)})`,
  );
  return `Hardest for the fingers: ${ranked.join('; ')}.`;
}

/** Said where steps are fingered otherwise than the passage, and why. */
export function ownFingeringSentence(why: 'order' | 'notes'): string {
  if (why === 'notes') return 'These are not the notes of the passage: their fingerings are their own.';
  return 'In this order the fingerings of the passage would slide: where they would, others are marked.';
}
