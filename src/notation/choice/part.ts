// Choosing what of a passage is played: a part, a voice, a hand, the melody line; and reading it with another
// instrument. What is left keeps its bars, so that places stay where they are printed; onsets are numbered anew.

import { INSTRUMENTS, type InstrumentName } from '../../music/instrument.ts';
import { nearWord } from '../../music/near-word.ts';
import { type Note, type Onset, requiredNotes } from '../../music/onset.ts';
import type { Passage } from '../../music/passage.ts';
import { shiftFifths, transposeSpelling } from '../../music/transposition.ts';
import { EXIT, fail, ok, ProblemError, type Result } from '../../problem.ts';

export interface PartChoice {
  /** Number from 1, or name; a part of a name will do where it is not ambiguous. */
  readonly part?: number | string;
  /** As numbered within its part, from 1. */
  readonly voice?: number;
  /** Right is the upper staff. */
  readonly hand?: 'left' | 'right' | 'both';
  readonly line?: 'melody';
}

export function choosePart(passage: Passage, choice: PartChoice): Result<Passage> {
  let chosen = passage;
  if (choice.part !== undefined) {
    const index = partIndex(passage, choice.part);
    if (!index.ok) return index;
    chosen = onlyPart(passage, index.value);
  }
  const inParts = chosen;
  if (choice.hand === 'left' || choice.hand === 'right') {
    const staff = choice.hand === 'right' ? 1 : 2;
    const staves = new Set(notesOf(inParts).map((n) => n.staff));
    if (!staves.has(staff) || staves.size < 2) {
      return noSuch(
        'part.no-such-hand',
        `there is no ${choice.hand} hand`,
        'only a keyboard part on two staves has hands; leave --hand out',
      );
    }
    chosen = keepNotes(chosen, (note) => note.staff === staff);
  }
  if (choice.voice !== undefined) {
    const voices = [...new Set(notesOf(chosen).map((n) => n.voice))].sort((a, b) => a - b);
    if (!voices.includes(choice.voice)) {
      return noSuch(
        'part.no-such-voice',
        `there is no voice ${choice.voice}`,
        `there ${voices.length === 1 ? 'is voice' : 'are voices'} ${voices.join(', ')}`,
      );
    }
    chosen = keepNotes(chosen, (note) => note.voice === choice.voice);
  }
  if (choice.line === 'melody') chosen = melodyOf(chosen);
  if (chosen.onsets.length === 0) {
    return noSuch('part.empty', 'it has no notes', `the parts are ${partList(passage)}`);
  }
  return ok(chosen);
}

/** Problems: 'part.no-such-part', 'part.ambiguous'. */
export function partIndex({ parts, ...passage }: Passage, wanted: number | string): Result<number> {
  const list = `the parts are ${partList({ parts, ...passage })}`;
  if (typeof wanted === 'number') {
    if (Number.isInteger(wanted) && wanted >= 1 && wanted <= parts.length) return ok(wanted - 1);
    return noSuch('part.no-such-part', `there is no part ${wanted}`, list);
  }
  const text = wanted.trim().toLowerCase();
  const names = parts.map((part) => part.name.toLowerCase());
  const exact = names.indexOf(text);
  if (exact >= 0) return ok(exact);
  const holding = names.flatMap((name, i) => (text !== '' && name.includes(text) ? [i] : []));
  if (holding.length === 1) return ok(holding[0]!);
  if (holding.length > 1) return noSuch('part.ambiguous', `"${wanted}" means several parts`, list);
  const near = nearWord(
    text,
    parts.map((part) => part.name),
  );
  const meant = near === undefined ? '' : `did you mean "${near}"? `;
  return noSuch('part.no-such-part', `there is no part "${wanted}"`, meant + list);
}

function partList({ parts }: Passage): string {
  return parts.map((part, i) => `${i + 1} ${part.name}`).join(', ');
}

function noSuch(code: string, state: string, hint: string): Result<never> {
  return fail({ code, message: `Cannot choose the part: ${state}`, hint, exitStatus: EXIT.usage });
}

/** One part alone: it becomes part 1, and the keys are those that its player reads. */
function onlyPart(passage: Passage, index: number): Passage {
  const shift = transposition(passage, 0) - transposition(passage, index);
  const kept = keepNotes(passage, (note) => note.part === index);
  return {
    ...kept,
    parts: [passage.parts[index]!],
    ...(passage.clefs && {
      clefs: passage.clefs.filter(({ part }) => part === index).map((one) => ({ ...one, part: 0 })),
    }),
    keys: passage.keys.map((key) => ({ ...key, fifths: shiftFifths(key.fifths, shift) })),
    onsets: kept.onsets.map(({ tick, notes }) => ({ tick, notes: notes.map((n) => ({ ...n, part: 0 })) })),
  };
}

function transposition(passage: Passage, part: number): number {
  return INSTRUMENTS[passage.parts[part]!.instrument].transposition;
}

function notesOf(passage: Passage): Note[] {
  return passage.onsets.flatMap((onset) => onset.notes);
}

/** Onsets that lose all but grace notes are gone with them. */
function keepNotes(passage: Passage, keep: (note: Note, onset: Onset) => boolean): Passage {
  const onsets = passage.onsets
    .map((onset) => ({ tick: onset.tick, notes: onset.notes.filter((note) => keep(note, onset)) }))
    .filter((onset) => requiredNotes(onset).length > 0);
  return { ...passage, onsets };
}

/**
 * The line on top: the highest note of each onset in the upper staff of the first part, unless a higher note of that
 * staff still sounds. Grace notes stay with the melody note they lead into.
 */
function melodyOf(passage: Passage): Passage {
  const part = Math.min(...notesOf(passage).map((n) => n.part));
  const inPart = notesOf(passage).filter((n) => n.part === part);
  const staff = Math.min(...inPart.map((n) => n.staff));
  const upper = keepNotes(passage, (note) => note.part === part && note.staff === staff);
  let sounding: { pitch: number; endTick: number } = { pitch: -1, endTick: -1 };
  const onsets = upper.onsets.flatMap((onset): Onset[] => {
    const top = requiredNotes(onset).at(-1)!;
    const covered = onset.tick < sounding.endTick && sounding.pitch > top.pitch;
    if (covered) return [];
    sounding = { pitch: top.pitch, endTick: onset.tick + top.durationTicks };
    const notes = onset.notes.filter((n) => n === top || (n.ornament === 'grace' && n.voice === top.voice));
    return [{ tick: onset.tick, notes }];
  });
  return { ...upper, onsets };
}

/**
 * The passage as played on another instrument. `kept` says what stays as it is: `written`, the names on the paper (a
 * score, ABC), so that the sound moves; or `sounding`, the pitches (a MIDI file), so that the names move. All parts
 * become that instrument's. Throws a ProblemError where a note would leave the MIDI numbers.
 */
export function transposeForInstrument(
  passage: Passage,
  instrument: InstrumentName,
  kept: 'written' | 'sounding' = 'written',
): Passage {
  const { name, transposition: to } = INSTRUMENTS[instrument];
  const before = passage.parts.map((part) => INSTRUMENTS[part.instrument].transposition);
  const parts = passage.parts.map((part) => ({
    name: part.name === INSTRUMENTS[part.instrument].name ? name : part.name,
    instrument,
  }));
  const moved = (note: Note): Note => {
    const steps = to - before[note.part]!;
    return kept === 'written'
      ? { ...note, pitch: note.pitch + steps }
      : { ...note, spelling: transposeSpelling(note.spelling, -steps) };
  };
  const outside = passage.onsets.findIndex((o) =>
    o.notes.some((n) => moved(n).pitch < 0 || moved(n).pitch > 127),
  );
  if (outside >= 0) {
    throw new ProblemError({
      code: 'part.beyond-midi',
      message: `Cannot play the passage on the ${name}: onset ${outside + 1} would sound beyond the MIDI notes 0 to 127`,
      exitStatus: EXIT.usage,
    });
  }
  const keyShift = kept === 'sounding' ? before[0]! - to : 0;
  return {
    ...passage,
    parts,
    keys: passage.keys.map((key) => ({ ...key, fifths: shiftFifths(key.fifths, keyShift) })),
    onsets: passage.onsets.map(({ tick, notes }) => ({
      tick,
      notes: notes.map(moved).sort((a, b) => a.pitch - b.pitch || a.part - b.part),
    })),
  };
}
