// From the placed notes of a MIDI file's lines to a passage's onsets: names as the player reads them, hands, voices
// numbered by staff, the notes of one moment together.

import { INSTRUMENTS } from '../../music/instrument.ts';
import { lowestFirst, type Note, type Onset } from '../../music/onset.ts';
import type { KeyChange } from '../../music/passage.ts';
import { spellPitch } from '../../music/pitch.ts';
import type { IssueList } from '../reading.ts';
import { soundingFifths, writtenFifths } from './bars.ts';
import type { MidiPart } from './lines.ts';
import type { PlacedNote } from './written.ts';

export interface PlacedLine {
  /** Index into the parts. */
  readonly part: number;
  readonly staff: number;
  readonly handKnown: boolean;
  readonly notes: readonly PlacedNote[];
}

/** Middle C: where a keyboard part without a word about hands is divided. */
const MIDDLE_C = 60;
/** A part within this many semitones is within one hand's reach, give or take. */
const ONE_HAND = 19;

export function gatherOnsets(
  lines: readonly PlacedLine[],
  parts: readonly MidiPart[],
  keys: readonly KeyChange[],
  issues: IssueList,
): Onset[] {
  const byTick = new Map<number, Note[]>();
  const first = INSTRUMENTS[parts[0]!.instrument].transposition;
  let doubled = 0;
  parts.forEach((part, index) => {
    const own = lines.filter((line) => line.part === index);
    const split = part.instrument === 'keyboard' && needsHands(own);
    if (split)
      issues.warn('midi.hands', `${part.name}: the hands are divided at middle C, the file does not say`);
    const { transposition } = INSTRUMENTS[part.instrument];
    const ordered = own.map((line) => line).sort((a, b) => a.staff - b.staff);
    ordered.forEach((line, voice) => {
      for (const placed of line.notes) {
        const staff = split && placed.pitch < MIDDLE_C ? 2 : line.staff;
        const fifths = keys.findLast((k) => k.tick <= placed.tick)?.fifths ?? 0;
        // Keys are written for the first part; another that transposes otherwise reads its own.
        const own = writtenFifths(soundingFifths(fifths, first), transposition);
        const note: Note = {
          pitch: placed.pitch,
          spelling: spellPitch(placed.pitch - transposition, own),
          durationTicks: placed.durationTicks,
          part: index,
          staff,
          voice: split ? staff : voice + 1,
          ...(placed.grace ? { ornament: 'grace' as const, graceIndex: placed.graceIndex ?? 0 } : {}),
        };
        if (!add(byTick, placed.tick, note)) doubled++;
      }
    });
  });
  if (doubled > 0) {
    const what = doubled === 1 ? 'One note is' : `${doubled} notes are`;
    issues.warn('unison.merged', `${what} struck twice at once: kept once, with the longer length`);
  }
  return [...byTick]
    .sort(([a], [b]) => a - b)
    .flatMap(([tick, notes]) => {
      const sorted = notes.sort(lowestFirst);
      return [{ tick, notes: sorted.some((n) => n.ornament === undefined) ? sorted : sorted.map(asMain) }];
    });
}

/** False where the same note was there already: then the longer length stays. */
function add(byTick: Map<number, Note[]>, tick: number, note: Note): boolean {
  const list = byTick.get(tick);
  if (!list) {
    byTick.set(tick, [note]);
    return true;
  }
  const twin =
    note.ornament === 'grace'
      ? -1
      : list.findIndex((n) => n.pitch === note.pitch && n.part === note.part && n.ornament !== 'grace');
  if (twin < 0) {
    list.push(note);
    return true;
  }
  if (note.durationTicks > list[twin]!.durationTicks) list[twin] = note;
  return false;
}

/** A grace note that leads nowhere is a note. */
function asMain({ ornament: _, graceIndex: __, ...note }: Note): Note {
  return { ...note, durationTicks: Math.max(note.durationTicks, 1260) };
}

function needsHands(lines: readonly PlacedLine[]): boolean {
  if (lines.length !== 1 || lines[0]!.handKnown) return false;
  const pitches = lines[0]!.notes.map((n) => n.pitch);
  let low = 127;
  let high = 0;
  for (const pitch of pitches) {
    low = Math.min(low, pitch);
    high = Math.max(high, pitch);
  }
  return low < MIDDLE_C && high >= MIDDLE_C && high - low > ONE_HAND;
}
