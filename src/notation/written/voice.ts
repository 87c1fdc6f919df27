// A passage taken apart into what is written down: for every part, its voices; for every voice, its bars; in a bar,
// chords and rests one after another with no gap. What sounds over a bar line, or while another note of the same
// voice begins, is written as tied notes. Both writers start from here.

import type { Bar } from '../../music/meter.ts';
import type { Note } from '../../music/onset.ts';
import type { Passage, StaffClef } from '../../music/passage.ts';
import { spellingToPitch } from '../../music/pitch.ts';
import { TICKS_PER_QUARTER, TICKS_PER_WHOLE } from '../../music/ticks.ts';
import { oddPart } from './tick-fractions.ts';
import { tupletGroups } from './tuplet-groups.ts';

/** A note or the piece of one that fits where it stands. */
interface WrittenNote {
  readonly note: Note;
  /** It goes on a note before it, and is not struck. */
  readonly tiedFrom: boolean;
  readonly tiedTo: boolean;
}

export interface WrittenEvent {
  /** Ticks from the start of the bar. */
  readonly offset: number;
  readonly durationTicks: number;
  /** Lowest first; empty for a rest. */
  readonly notes: readonly WrittenNote[];
  /** In the order played. */
  readonly graceNotes: readonly Note[];
  /** Joined to the next event by a slur. */
  readonly slurred: boolean;
}

export interface WrittenVoice {
  readonly part: number;
  readonly staff: number;
  readonly voice: number;
  /** One list for each bar of the passage. */
  readonly bars: readonly (readonly WrittenEvent[])[];
}

/** Voices by part, staff and number. `cuts`: ticks where the first voice of the passage must have an event. */
export function writtenVoices(passage: Passage, cuts: readonly number[] = []): WrittenVoice[] {
  const voices = new Map<string, { part: number; staff: number; voice: number; notes: TimedNote[] }>();
  for (const onset of passage.onsets) {
    for (const note of onset.notes) {
      const { part, staff, voice } = note;
      const key = `${part}:${staff}:${voice}`;
      const entry = voices.get(key) ?? { part, staff, voice, notes: [] };
      voices.set(key, entry);
      entry.notes.push({ note, tick: onset.tick });
    }
  }
  fillSeats(passage, voices);
  return [...voices.values()]
    .sort((a, b) => a.part - b.part || a.staff - b.staff || a.voice - b.voice)
    .map(({ notes, ...seat }, i) => ({ ...seat, bars: writeBars(passage.bars, notes, i === 0 ? cuts : []) }));
}

/** A part or a staff without a note still has its seat: a silent voice, or those after it would move up. */
function fillSeats(
  passage: Passage,
  voices: Map<string, { part: number; staff: number; voice: number; notes: TimedNote[] }>,
): void {
  const seated = [...voices.values()];
  passage.parts.forEach((_, part) => {
    const staves = Math.max(1, ...seated.filter((v) => v.part === part).map((v) => v.staff));
    for (let staff = 1; staff <= staves; staff += 1) {
      if (seated.some((v) => v.part === part && v.staff === staff)) continue;
      voices.set(`${part}:${staff}:0`, { part, staff, voice: 0, notes: [] });
    }
  });
}

interface TimedNote {
  readonly note: Note;
  readonly tick: number;
}

function writeBars(
  bars: readonly Bar[],
  notes: readonly TimedNote[],
  cuts: readonly number[],
): WrittenEvent[][] {
  const points = new Set<number>(cuts);
  for (const { note, tick } of notes) {
    points.add(tick);
    points.add(tick + note.durationTicks);
  }
  const sorted = [...points].sort((a, b) => a - b);
  const held = notes.filter(({ note }) => note.ornament !== 'grace');
  const graces = notes.filter(({ note }) => note.ornament === 'grace');
  const soundsOver = (tick: number) =>
    held.some((n) => n.tick < tick && n.tick + n.note.durationTicks > tick);
  let point = 0;
  let next = 0;
  let sounding: TimedNote[] = [];
  return bars.map((bar) => {
    const end = bar.startTick + bar.durationTicks;
    const starts = [bar.startTick];
    while (point < sorted.length && sorted[point]! < end) {
      if (sorted[point]! > bar.startTick) starts.push(sorted[point]!);
      point += 1;
    }
    const cut = cutTuplets(starts, bar, soundsOver);
    return cut.map((tick, i) => {
      const until = cut[i + 1] ?? end;
      while (next < held.length && held[next]!.tick <= tick) sounding.push(held[next++]!);
      sounding = sounding.filter((n) => n.tick + n.note.durationTicks > tick);
      const written = sounding.map(({ note, tick: from }) => ({
        note,
        tiedFrom: from < tick,
        tiedTo: from + note.durationTicks > until,
      }));
      written.sort((a, b) => a.note.pitch - b.note.pitch);
      return {
        offset: tick - bar.startTick,
        durationTicks: until - tick,
        notes: written,
        graceNotes: gracesAt(graces, tick),
        slurred: written.some(({ note }) => note.slurred),
      };
    });
  });
}

/**
 * What begins or ends inside a tuplet is cut at that beat, so that every tuplet stays within one: two rests or a tie
 * are easier to read, and other programs read them right. The cuts are a quarter apart (an eighth in eighth meters),
 * twice as far where that would cut a note and this does not, half as far where the tuplets are shorter still.
 */
function cutTuplets(
  starts: readonly number[],
  bar: Bar,
  soundsOver: (tick: number) => boolean,
): readonly number[] {
  const unit = Math.min(TICKS_PER_QUARTER, TICKS_PER_WHOLE / bar.meter.unit);
  const cuts = [unit, 2 * unit, unit / 2].map((apart) => cutEvery(starts, bar, apart));
  const [plain, wide, narrow] = cuts as [number[], number[], number[]];
  const whole = (ticks: number[]) => ticks.every((tick) => starts.includes(tick) || !soundsOver(tick));
  if (whole(plain) && tupletsFit(plain, bar)) return plain;
  if (whole(wide) && tupletsFit(wide, bar)) return wide;
  return tupletsFit(plain, bar) || !tupletsFit(narrow, bar) ? plain : narrow;
}

function cutEvery(starts: readonly number[], bar: Bar, apart: number): number[] {
  const end = bar.startTick + bar.durationTicks;
  return starts.flatMap((tick, i) => {
    const from = tick - bar.startTick;
    const to = (starts[i + 1] ?? end) - bar.startTick;
    // Where the tuplet's beat ends, and where that of the next one begins; what is between them is of one piece.
    const afterFirst = oddPart(from) === 1 ? [] : [(Math.floor(from / apart) + 1) * apart];
    const beforeLast = oddPart(to) === 1 ? [] : [(Math.ceil(to / apart) - 1) * apart];
    const cuts = [...afterFirst, ...beforeLast].filter((at) => at > from && at < to);
    return [tick, ...new Set(cuts.map((at) => bar.startTick + at))];
  });
}

/** Whether every length that is no plain value finds its place in a tuplet. */
function tupletsFit(starts: readonly number[], bar: Bar): boolean {
  const end = bar.startTick + bar.durationTicks;
  const events = starts.map((tick, i) => ({ durationTicks: (starts[i + 1] ?? end) - tick }));
  const grouped = tupletGroups(events).reduce((sum, group) => sum + group.events, 0);
  const odd = events.filter(({ durationTicks }) => oddPart(durationTicks) !== 1).length;
  return grouped >= odd;
}

function gracesAt(graces: readonly TimedNote[], tick: number): Note[] {
  const here = graces.filter((grace) => grace.tick === tick).map(({ note }) => note);
  return here.sort((a, b) => (a.graceIndex ?? 0) - (b.graceIndex ?? 0));
}

/** Semitones from written to sounding in a part, as its notes have it. */
export function partTransposition(passage: Passage, part: number): number {
  for (const onset of passage.onsets) {
    const note = onset.notes.find((n) => n.part === part);
    if (note) return note.pitch - spellingToPitch(note.spelling);
  }
  return 0;
}

/**
 * The key signature of a part: the passage's keys are those of its first part, another part that transposes otherwise
 * has its own.
 */
export function partFifths(passage: Passage, part: number, fifths: number): number {
  const apart = partTransposition(passage, 0) - partTransposition(passage, part);
  const shifted = fifths + apart * 7;
  const near = ((((shifted + 5) % 12) + 12) % 12) - 5;
  return apart === 0 ? fifths : near;
}

/** Ticks of everything that stands between notes: keys, tempos and rehearsal marks. */
export function markTicks(passage: Passage): number[] {
  const marks = [...passage.keys, ...passage.tempoChanges, ...passage.rehearsalMarks];
  return [...new Set(marks.map(({ tick }) => tick))];
}

/** As settled; else 'bass' where a staff lies mostly under middle C as written; a lower staff has it by custom. */
export function clefOf(
  { clefs }: Passage,
  voices: readonly WrittenVoice[],
  part: number,
  staff: number,
): StaffClef['clef'] {
  const settled = clefs?.find((one) => one.part === part && one.staff === staff);
  if (settled) return settled.clef;
  let sum = 0;
  let count = 0;
  for (const voice of voices) {
    if (voice.part !== part || voice.staff !== staff) continue;
    for (const { note } of voice.bars.flat().flatMap((event) => event.notes)) {
      sum += spellingToPitch(note.spelling);
      count += 1;
    }
  }
  const middle = staff > 1 ? 64 : 58;
  return count > 0 && sum / count < middle ? 'bass' : 'treble';
}

/** The clef of every staff, for what is written of the passage piece by piece. */
export function clefsOf(passage: Passage): StaffClef[] {
  const voices = writtenVoices(passage);
  const staves = new Map(voices.map(({ part, staff }) => [`${part}:${staff}`, { part, staff }]));
  return [...staves.values()].map(({ part, staff }) => ({
    part,
    staff,
    clef: clefOf(passage, voices, part, staff),
  }));
}
