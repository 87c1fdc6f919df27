// A draft score from notes of which only the sound is known (a MIDI file, a capture): names as the player of each part
// reads them in the key of the moment, hands, and every mark in the bar where it stands.

import { INSTRUMENTS, isTwoHanded } from '../../music/instrument.ts';
import { type Bar, barAt } from '../../music/meter.ts';
import type { KeyChange, Part, RehearsalMark, TempoChange } from '../../music/passage.ts';
import { spellPitch } from '../../music/pitch.ts';
import type { Tempo } from '../../music/tempo.ts';
import { soundingFifths, writtenFifths } from '../../music/transposition.ts';
import type { IssueList } from '../reading.ts';
import { type DraftBar, type DraftNote, type DraftScore, emptyBar } from './score.ts';

export interface SoundingNote {
  /** From the passage's start; of a grace note that of the onset it leads into. */
  readonly tick: number;
  /** 0 for a grace note. */
  readonly durationTicks: number;
  readonly pitch: number;
  /** Order among the grace notes before the onset, from 0. On grace notes only. */
  readonly graceIndex?: number;
}

/** The notes of one voice, or of a hand or two where nobody says which. */
export interface SoundingLine {
  /** Index into the parts. */
  readonly part: number;
  readonly staff: number;
  readonly handKnown: boolean;
  readonly notes: readonly SoundingNote[];
}

export interface SoundingScore {
  readonly title: string;
  readonly composer?: string;
  readonly parts: readonly Part[];
  readonly lines: readonly SoundingLine[];
  /** Contiguous from tick 0, to the end of the last note. */
  readonly bars: readonly Bar[];
  /** As the player of the first part reads them; the first is at tick 0. */
  readonly keys: readonly KeyChange[];
  readonly tempo: Tempo;
  readonly tempoChanges: readonly TempoChange[];
  readonly rehearsalMarks: readonly RehearsalMark[];
}

/** Middle C: where a keyboard part without a word about hands is divided. */
const MIDDLE_C = 60;
/** A part within this many semitones is within one hand's reach, give or take. */
const ONE_HAND = 19;
/** A grace note that leads nowhere is a note: a thirty-second. */
const LONE_GRACE_TICKS = 1260;

export function draftOf(score: SoundingScore, issues: IssueList): DraftScore {
  const { bars, keys, parts } = score;
  const draft = new DraftBars(bars);
  draft.place(keys, (bar, offset, { fifths, mode }) => bar.keys.push({ offset, fifths, mode }));
  const tempos = [{ tick: 0, tempo: score.tempo }, ...score.tempoChanges];
  draft.place(tempos, (bar, offset, { tempo }) => bar.tempos.push({ offset, tempo }));
  draft.place(score.rehearsalMarks, (bar, offset, { text }) => bar.marks.push({ offset, text }));
  parts.forEach((part, index) => {
    const own = score.lines.filter((line) => line.part === index).sort((a, b) => a.staff - b.staff);
    const split = isTwoHanded(part.instrument) && needsHands(own);
    if (split) {
      const message = `${part.name}: the hands are divided at middle C, the file does not say`;
      issues.warn('midi.hands', message);
    }
    own.forEach((line, voice) => {
      const notes = split ? inHands(line.notes) : inOneStaff(line.notes, line.staff, voice);
      placeNotes(notes, index, score, draft);
    });
  });
  return { ...score, bars: draft.bars };
}

/** The printed bars, and what stands in them by its tick. */
class DraftBars {
  readonly bars: readonly DraftBar[];
  private readonly played: readonly Bar[];

  constructor(played: readonly Bar[]) {
    this.played = played;
    this.bars = played.map(({ meter, number, durationTicks, pickup }) => ({
      ...emptyBar(meter),
      number,
      durationTicks,
      pickup,
      // Its length is what it is; what was odd about it is told where the bars were made.
      irregular: true,
    }));
  }

  /** What lies past the last bar is left out. */
  place<M extends { readonly tick: number }>(
    marks: readonly M[],
    put: (bar: DraftBar, offset: number, mark: M) => void,
  ): void {
    for (const mark of marks) {
      const index = barAt(this.played, mark.tick);
      const { startTick, durationTicks } = this.played[index]!;
      if (mark.tick < startTick + durationTicks) put(this.bars[index]!, mark.tick - startTick, mark);
    }
  }
}

/** A note with the staff and voice in which it is written. */
interface SeatedNote extends SoundingNote {
  readonly staff: number;
  readonly voice: number;
}

function inOneStaff(notes: readonly SoundingNote[], staff: number, voice: number): SeatedNote[] {
  return notes.map((note) => ({ ...note, staff, voice }));
}

/** Two voices, right hand and left; a grace note is in the hand of a note that it leads into. */
function inHands(notes: readonly SoundingNote[]): SeatedNote[] {
  const handOf = (pitch: number) => (pitch < MIDDLE_C ? 2 : 1);
  const hands = new Map<number, Set<number>>();
  for (const { tick, pitch, graceIndex } of notes) {
    if (graceIndex === undefined) hands.set(tick, (hands.get(tick) ?? new Set()).add(handOf(pitch)));
  }
  return notes.map((note) => {
    const own = handOf(note.pitch);
    const there = hands.get(note.tick);
    const staff = there && !there.has(own) ? 3 - own : own;
    return { ...note, staff, voice: staff };
  });
}

function placeNotes(
  notes: readonly SeatedNote[],
  part: number,
  { parts, keys }: SoundingScore,
  draft: DraftBars,
): void {
  const { transposition } = INSTRUMENTS[parts[part]!.instrument];
  const first = INSTRUMENTS[parts[0]!.instrument].transposition;
  const ledTo = new Set(notes.filter((n) => n.graceIndex === undefined).map((n) => n.tick));
  // The grace notes of an onset come before it, in their order.
  const ordered = [...notes].sort(
    (a, b) => a.tick - b.tick || (a.graceIndex ?? Infinity) - (b.graceIndex ?? Infinity) || 0,
  );
  let key = 0;
  draft.place(ordered, (bar, offset, note) => {
    while (keys[key + 1] && keys[key + 1]!.tick <= note.tick) key += 1;
    // Keys are written for the first part; another that transposes otherwise reads its own.
    const fifths = writtenFifths(soundingFifths(keys[key]?.fifths ?? 0, first), transposition);
    const grace = note.graceIndex !== undefined && ledTo.has(note.tick);
    const written: DraftNote = {
      offset,
      durationTicks: grace ? 0 : note.durationTicks || LONE_GRACE_TICKS,
      pitch: note.pitch,
      spelling: spellPitch(note.pitch - transposition, fifths),
      part,
      staff: note.staff,
      voice: note.voice,
      ...(grace && { ornament: 'grace' }),
    };
    bar.notes.push(written);
  });
}

function needsHands(lines: readonly SoundingLine[]): boolean {
  if (lines.length !== 1 || lines[0]!.handKnown) return false;
  let low = 127;
  let high = 0;
  for (const { pitch } of lines[0]!.notes) {
    low = Math.min(low, pitch);
    high = Math.max(high, pitch);
  }
  return low < MIDDLE_C && high >= MIDDLE_C && high - low > ONE_HAND;
}
