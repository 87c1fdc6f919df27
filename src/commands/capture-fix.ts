// Single notes of a capture put right by hand: "5 D#4" another note, "5 F4+A4" a chord, "5 1/8" another length, "5 other"
// the other likely place, "5 -" left out. Onsets are numbered from 1, names are as the player reads them.

import { INSTRUMENTS, type InstrumentName, playsChords } from '../music/instrument.ts';
import type { Passage } from '../music/passage.ts';
import { readSpelling, type Spelling, spellingToPitch } from '../music/pitch.ts';
import { TICKS_PER_WHOLE } from '../music/ticks.ts';
import { type CaptureHeading, passageFromCapture } from '../notation/transcription/passage.ts';
import type { QuantisedOnset } from '../notation/transcription/quantise.ts';
import { EXIT, fail, ok, type Result } from '../problem.ts';

/** A quantised onset, and how its notes are written where the player has said so. */
interface DraftOnset extends QuantisedOnset {
  readonly written?: readonly Spelling[];
}

export type Draft = readonly DraftOnset[];

const GRAMMAR =
  'Such as "5 D#4" (another note), "5 F4+A4" (a chord), "5 1/8" (a length), "5 other" (the other place), "5 -" (leave it out).';

/** The draft with one onset changed. Problem 'capture.fix' says what stands in the way. */
export function fixDraft(draft: Draft, text: string, instrument: InstrumentName): Result<Draft> {
  const [, digits, rest] = /^\s*(\d+)\s+(\S.*?)\s*$/.exec(text) ?? [];
  if (digits === undefined || rest === undefined) {
    return refuse(`Cannot read "${text.trim()}": an onset number and what it should be are needed`, GRAMMAR);
  }
  const index = Number(digits) - 1;
  let fixed: Result<Draft> = ok(draft);
  for (const word of rest.split(/\s+/)) {
    if (!fixed.ok) return fixed;
    if (!fixed.value[index]) {
      return refuse(`Cannot change onset ${digits}: the onsets are 1 to ${fixed.value.length}`);
    }
    fixed = fixWord(fixed.value, index, word, instrument);
  }
  return fixed;
}

/** The draft as a passage, written as the player has asked. */
export function passageOfDraft(draft: Draft, heading: CaptureHeading): Result<Passage> {
  const made = passageFromCapture(draft, heading);
  if (!made.ok) return made;
  const { transposition } = INSTRUMENTS[heading.instrument];
  const onsets = made.value.onsets.map((onset, i) => {
    const written = draft[i]?.written;
    if (!written) return onset;
    const notes = onset.notes.map((note) => {
      const own = written.find((spelling) => spellingToPitch(spelling) + transposition === note.pitch);
      return own ? { ...note, spelling: own } : note;
    });
    return { ...onset, notes };
  });
  return ok({ ...made.value, onsets });
}

function fixWord(draft: Draft, index: number, word: string, instrument: InstrumentName): Result<Draft> {
  const onset = draft[index]!;
  if (word === '-') {
    if (draft.length === 1) return refuse('Cannot leave out the only note: nothing would be left');
    return ok(draft.toSpliced(index, 1));
  }
  if (word === 'other') return takeOtherPlace(draft, index);
  if (/^\d+(\/\d+)?$/.test(word)) return changeLength(draft, index, word, !playsChords(instrument));
  const spellings: Spelling[] = [];
  for (const name of word.split('+')) {
    const spelling = readSpelling(name);
    if (!spelling) return refuse(`Cannot read "${word}" for onset ${index + 1}`, GRAMMAR);
    spellings.push(spelling);
  }
  const { transposition } = INSTRUMENTS[instrument];
  const pitches = spellings.map((spelling) => spellingToPitch(spelling) + transposition);
  const outside = pitches.findIndex((pitch) => pitch < 0 || pitch > 127);
  if (outside >= 0) return refuse(`Cannot write ${word.split('+')[outside]}: no instrument sounds it`);
  const longest = Math.max(...onset.notes.map((note) => note.durationTicks));
  const { captured } = onset.notes[0]!;
  const notes = [...new Set(pitches)]
    .sort((a, b) => a - b)
    .map((pitch) => ({
      ...(onset.notes.find((note) => note.pitch === pitch) ?? { durationTicks: longest, captured }),
      pitch,
    }));
  return ok(draft.with(index, { ...onset, notes, written: spellings }));
}

function changeLength(draft: Draft, index: number, word: string, single: boolean): Result<Draft> {
  const onset = draft[index]!;
  const [count, unit = '1'] = word.split('/');
  const durationTicks = (Number(count) * TICKS_PER_WHOLE) / Number(unit);
  if (!Number.isInteger(durationTicks) || durationTicks <= 0 || durationTicks > 8 * TICKS_PER_WHOLE) {
    return refuse(
      `Cannot make onset ${index + 1} "${word}" long: it is a fraction of a whole note`,
      'An eighth is 1/8, a dotted quarter 3/8, a triplet eighth 1/12.',
    );
  }
  const room = (draft[index + 1]?.tick ?? Number.POSITIVE_INFINITY) - onset.tick;
  if (single && durationTicks > room) {
    return refuse(
      `Cannot make onset ${index + 1} as long as ${word}: the next note begins after ${fraction(room)}`,
      'Notes keep their places: play it in again where the rhythm is another.',
    );
  }
  const notes = onset.notes.map((note) => ({ ...note, durationTicks }));
  return ok(draft.with(index, { ...onset, notes }));
}

function takeOtherPlace(draft: Draft, index: number): Result<Draft> {
  const { alternative, ...onset } = draft[index]!;
  const number = index + 1;
  if (!alternative) return refuse(`Cannot move onset ${number}: no other place is likely`);
  const { tick } = alternative;
  const before = draft[index - 1];
  const after = draft[index + 1];
  if ((before && before.tick >= tick) || (after && after.tick <= tick)) {
    return refuse(`Cannot move onset ${number}: its other place is taken by its neighbour`);
  }
  const end = (notes: DraftOnset['notes'], from: number) =>
    from + Math.max(...notes.map((n) => n.durationTicks));
  // Its end stays, and a note that lasted until it still does.
  const notes = onset.notes.map((note) => ({
    ...note,
    durationTicks:
      onset.tick + note.durationTicks > tick
        ? onset.tick + note.durationTicks - tick
        : Math.min(note.durationTicks, (after?.tick ?? Number.POSITIVE_INFINITY) - tick),
  }));
  const moved = draft.with(index, {
    ...onset,
    tick,
    notes,
    certainty: 1,
    alternative: { tick: onset.tick, certainty: alternative.certainty },
  });
  if (!before || end(before.notes, before.tick) < Math.min(tick, onset.tick)) return ok(moved);
  const legato = before.notes.map((note) =>
    before.tick + note.durationTicks === onset.tick || before.tick + note.durationTicks > tick
      ? { ...note, durationTicks: tick - before.tick }
      : note,
  );
  return ok(moved.with(index - 1, { ...before, notes: legato }));
}

function fraction(ticks: number): string {
  const gcd = (a: number, b: number): number => (b === 0 ? a : gcd(b, a % b));
  const shared = gcd(ticks, TICKS_PER_WHOLE);
  return `${ticks / shared}/${TICKS_PER_WHOLE / shared}`;
}

function refuse(message: string, hint?: string): Result<never> {
  return fail({ code: 'capture.fix', message, exitStatus: EXIT.usage, ...(hint ? { hint } : {}) });
}
