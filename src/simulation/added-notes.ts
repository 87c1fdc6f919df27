// The notes of one onset as they are struck (chords spread, one note wrong or left out), and those that nobody asked
// for: extras, blips, and the optional notes of written ornaments.

import { microsPerTick } from '../music/tempo.ts';
import type { ModelNote, ModelSlip } from './slip.ts';
import type { Stroke, StrokeKind, StrokeNote } from './stroke.ts';
import type { WalkSettings } from './walk-settings.ts';

/** One added note of an ornament: fast playing, at about 11 notes a second (Moore 1992, Music Percept 9:351). */
const ORNAMENT_MICROS = 90_000;
const GRACE_MICROS = 65_000;

export function strikeNotes(
  settings: WalkSettings,
  index: number,
  atMicros: number,
  slip?: ModelSlip,
): Stroke {
  const { random, profile } = settings;
  const written = settings.onsets[index]!.notes;
  const required = written.map((note, i) => ({ note, i })).filter(({ note }) => note.ornament !== 'grace');
  const spoiled = slip?.kind === 'wrong' || slip?.kind === 'missed' || slip?.kind === 'restart';
  const victim = spoiled ? random.pick(required).i : -1;
  const notes: StrokeNote[] = [];
  for (const { note, i } of required) {
    if (i === victim && slip?.kind === 'missed') continue;
    const wrong = i === victim && (slip?.kind === 'wrong' || slip?.kind === 'restart');
    const pitch = wrong ? misstep(note.pitch, slip.semitones, written) : note.pitch;
    const offsetMicros = required.length > 1 ? random.normal(0, profile.chordSdMicros) : 0;
    notes.push(added(pitch, note, wrong ? 'wrong' : 'right', offsetMicros, i));
    if (!wrong) notes.push(...ornamentNotes(settings, index, note));
  }
  return { onset: index, atMicros, notes };
}

/** Strokes that come before the onset, by time: grace notes, an extra note, a blip. */
export function addedNotes(
  settings: WalkSettings,
  index: number,
  atMicros: number,
  slip: ModelSlip | undefined,
  before: Stroke | undefined,
): Stroke[] {
  const onset = settings.onsets[index]!;
  const strokes: Stroke[] = [];
  const target = onset.notes.find((note) => note.ornament !== 'grace') ?? onset.notes[0]!;
  const room = before ? atMicros - before.atMicros : Number.POSITIVE_INFINITY;
  if (slip?.kind === 'extra' && before) {
    const share = settings.random.between(0.4, 0.7);
    const pitch = slip.twice ? target.pitch : misstep(target.pitch, slip.semitones, onset.notes);
    const note: StrokeNote = {
      pitch,
      durationTicks: 0,
      kind: 'extra',
      offsetMicros: 0,
      lengthMicros: 0.25 * room,
    };
    strokes.push({ onset: index, atMicros: before.atMicros + share * room, notes: [note] });
  }
  if (slip?.kind === 'blip' && before) {
    const lengthMicros = Math.min(slip.micros, 0.5 * room);
    const pitch = blipPitch(before.notes.at(-1)?.pitch ?? target.pitch, target.pitch, settings);
    const note: StrokeNote = { pitch, durationTicks: 0, kind: 'blip', offsetMicros: 0, lengthMicros };
    strokes.push({ onset: index, atMicros: atMicros - lengthMicros, notes: [note] });
  }
  const graces = onset.notes.map((note, i) => ({ note, i })).filter(({ note }) => note.ornament === 'grace');
  // Left out altogether now and then, as people do.
  if (graces.length > 0 && settings.random.chance(0.9)) {
    const lengthMicros = Math.min(GRACE_MICROS, (0.5 * room) / graces.length);
    graces.forEach(({ note, i }, k) => {
      const grace = { ...added(note.pitch, note, 'grace', 0, i), lengthMicros };
      strokes.push({ onset: index, atMicros: atMicros - (graces.length - k) * lengthMicros, notes: [grace] });
    });
  }
  return strokes;
}

/** The optional notes of a trill, mordent or turn, struck from the note's own time on. */
function ornamentNotes(settings: WalkSettings, index: number, note: ModelNote): StrokeNote[] {
  if (note.ornament === undefined || note.ornament === 'grace') return [];
  const upper = note.pitch + settings.random.pick([1, 2]);
  const lower = note.pitch - settings.random.pick([1, 2]);
  const length = note.durationTicks * microsPerTick(settings.tempo);
  const next = settings.onsets[index + 1];
  const room = next
    ? Math.min(length, (next.tick - settings.onsets[index]!.tick) * microsPerTick(settings.tempo))
    : length;
  const most = Math.floor(room / ORNAMENT_MICROS) - 2;
  const pitches = {
    trill: Array.from({ length: Math.max(0, most - (most % 2)) }, (_, k) =>
      k % 2 === 0 ? upper : note.pitch,
    ),
    mordent: [lower, note.pitch],
    turn: [upper, note.pitch, lower, note.pitch],
  }[note.ornament];
  if (pitches.length > most) return [];
  return pitches.map((pitch, k) => ({
    pitch,
    durationTicks: 0,
    kind: 'ornament',
    offsetMicros: (k + 1) * ORNAMENT_MICROS,
    lengthMicros: k === pitches.length - 1 ? room - (k + 1) * ORNAMENT_MICROS : ORNAMENT_MICROS,
  }));
}

/** A finger ahead of the others sounds a note between the two, or just beside them where there is none between. */
function blipPitch(from: number, to: number, settings: WalkSettings): number {
  const low = Math.min(from, to);
  const high = Math.max(from, to);
  if (high - low >= 2) return settings.random.integer(low + 1, high - 1);
  return settings.random.chance(0.5) ? within(high + settings.random.integer(1, 3)) : within(low - 2);
}

/** A neighbour that is not in the chord itself, on the MIDI keyboard. */
function misstep(pitch: number, semitones: number, chord: readonly ModelNote[]): number {
  const taken = (p: number) => p < 0 || p > 127 || chord.some((note) => note.pitch === p);
  for (const step of [semitones, -semitones, 2 * semitones, 1, -1, 2, -2]) {
    if (!taken(pitch + step)) return pitch + step;
  }
  return within(pitch + 3);
}

function within(pitch: number): number {
  return Math.max(0, Math.min(127, pitch));
}

function added(
  pitch: number,
  note: ModelNote,
  kind: StrokeKind,
  offsetMicros: number,
  index: number,
): StrokeNote {
  return { pitch, durationTicks: note.durationTicks, note: index, kind, offsetMicros };
}
