// A passage as a Standard MIDI File of format 1: a first track with title, tempos, meters, keys and rehearsal marks,
// then a track for each voice of each part, sounding pitches. What a MIDI file cannot hold is lost: spelling, beams,
// articulations, ornaments but grace notes, how a bar is numbered. An irregular bar gets a meter of its own length,
// which other programs understand.

import { INSTRUMENTS } from '../../music/instrument.ts';
import { type Bar, barTicks, type Meter } from '../../music/meter.ts';
import type { Note, Onset } from '../../music/onset.ts';
import type { Passage } from '../../music/passage.ts';
import { microsPerTick, type Tempo } from '../../music/tempo.ts';
import { TICKS_PER_QUARTER, TICKS_PER_WHOLE } from '../../music/ticks.ts';
import { soundingFifths } from '../../music/transposition.ts';
import {
  layOutMidiFile,
  metaBytes,
  noteOffBytes,
  noteOnBytes,
  programBytes,
  RANK,
  type TimedBytes,
  tempoBytes,
  textBytes,
} from './bytes-writer.ts';
import { lineSuffix } from './lines.ts';
import { COMPOSER_TEXT, PICKUP_TEXT, WRITTEN_TEXT } from './marks.ts';
import { PERCUSSION_CHANNEL } from './pairing.ts';
import { programOf } from './programs.ts';
import { GRACE_TICKS } from './written.ts';

/** What most programs use; septuplets, grace notes and finer divisions get our own ticks, which are exact. */
const USUAL_DIVISION = 480;
const VELOCITY = 80;
const TEXT = 1;
const TRACK_NAME = 3;
const INSTRUMENT_NAME = 4;
const MARKER = 6;

export function writeMidiFile(passage: Passage): Uint8Array {
  const division = divisionFor(passage);
  const scale = TICKS_PER_QUARTER / division;
  const voices = voicesOf(passage);
  const tracks = [
    conductorTrack(passage),
    ...voices.map((voice, i) => voiceTrack(passage, voice, channelOf(i, voice, voices))),
  ];
  const scaled = tracks.map((events) => events.map((e) => ({ ...e, tick: Math.round(e.tick / scale) })));
  return layOutMidiFile(1, division, scaled, Math.round(passage.endTick / scale));
}

function divisionFor(passage: Passage): number {
  const step = TICKS_PER_QUARTER / USUAL_DIVISION;
  const whole = (tick: number) => tick % step === 0;
  const usual =
    whole(passage.endTick) &&
    passage.bars.every((bar) => whole(bar.startTick)) &&
    passage.onsets.every(
      (o) => whole(o.tick) && o.notes.every((n) => whole(n.durationTicks) && n.ornament !== 'grace'),
    );
  return usual ? USUAL_DIVISION : TICKS_PER_QUARTER;
}

interface Voice {
  readonly part: number;
  readonly staff: number;
  readonly voice: number;
  readonly notes: readonly { readonly onset: Onset; readonly note: Note }[];
}

function voicesOf(passage: Passage): Voice[] {
  const voices = new Map<string, Voice & { notes: { onset: Onset; note: Note }[] }>();
  for (const onset of passage.onsets) {
    for (const note of onset.notes) {
      const { part, staff, voice } = note;
      const key = `${part} ${staff} ${voice}`;
      const own = voices.get(key) ?? { part, staff, voice, notes: [] };
      voices.set(key, own);
      own.notes.push({ onset, note });
    }
  }
  return [...voices.values()].sort((a, b) => a.part - b.part || a.staff - b.staff || a.voice - b.voice);
}

/** One channel a voice as long as there are enough, then one a part; never the percussion channel. */
function channelOf(index: number, voice: Voice, voices: readonly Voice[]): number {
  const place = voices.length <= 15 ? index : voice.part % 15;
  return place + 1 >= PERCUSSION_CHANNEL ? place + 2 : place + 1;
}

function conductorTrack(passage: Passage): TimedBytes[] {
  const events: TimedBytes[] = [];
  const add = (tick: number, bytes: readonly number[]) => events.push({ tick, rank: RANK.meta, bytes });
  add(0, textBytes(TRACK_NAME, passage.title));
  add(0, textBytes(TEXT, WRITTEN_TEXT));
  if (passage.composer !== undefined) add(0, textBytes(TEXT, COMPOSER_TEXT + passage.composer));
  if (passage.bars[0]?.pickup) add(0, textBytes(TEXT, PICKUP_TEXT));
  add(0, tempoBytes(microsPerQuarter(passage.tempo)));
  for (const { tick, tempo } of passage.tempoChanges) add(tick, tempoBytes(microsPerQuarter(tempo)));
  let last: Meter | undefined;
  for (const bar of passage.bars) {
    const meter = meterOf(bar);
    if (last && last.count === meter.count && last.unit === meter.unit) continue;
    last = meter;
    add(bar.startTick, meterBytes(meter));
  }
  const transposition = INSTRUMENTS[passage.parts[0]?.instrument ?? 'keyboard'].transposition;
  for (const { tick, fifths, mode } of passage.keys) {
    const sounding = soundingFifths(fifths, transposition);
    add(tick, metaBytes(0x59, [sounding & 0xff, mode === 'minor' ? 1 : 0]));
  }
  for (const { tick, text } of passage.rehearsalMarks) add(tick, textBytes(MARKER, text));
  return events;
}

/** At least one microsecond and at most what three bytes hold: 3.6 quarters a minute. */
function microsPerQuarter(tempo: Tempo): number {
  return Math.min(0xffffff, Math.max(1, Math.round(microsPerTick(tempo) * TICKS_PER_QUARTER)));
}

/** The bar's meter, or for a pickup or an irregular bar the one that gives its length, where one does. */
function meterOf(bar: Bar): Meter {
  if (barTicks(bar.meter) === bar.durationTicks) return bar.meter;
  for (let unit = bar.meter.unit; unit <= 128; unit *= 2) {
    const count = (bar.durationTicks * unit) / TICKS_PER_WHOLE;
    if (Number.isInteger(count) && count <= 255) return { count, unit };
  }
  return bar.meter;
}

/** nn dd cc bb: 24 clocks to the quarter, a click on every beat as written, 8 thirty-seconds to the quarter. */
function meterBytes({ count, unit }: Meter): number[] {
  return metaBytes(0x58, [count, Math.log2(unit), Math.min(255, 96 / unit), 8]);
}

function voiceTrack(passage: Passage, voice: Voice, channel: number): TimedBytes[] {
  const part = passage.parts[voice.part]!;
  const inPart = passage.onsets.flatMap((o) => o.notes).filter((n) => n.part === voice.part);
  const twoStaves = new Set(inPart.map((n) => n.staff)).size > 1;
  const inStaff = new Set(inPart.filter((n) => n.staff === voice.staff).map((n) => n.voice));
  const hand = twoStaves ? (voice.staff === 1 ? 'right' : 'left') : undefined;
  const name = part.name + lineSuffix(hand, inStaff.size > 1 ? voice.voice : undefined);
  const events: TimedBytes[] = [
    { tick: 0, rank: RANK.meta, bytes: textBytes(TRACK_NAME, name) },
    { tick: 0, rank: RANK.meta, bytes: textBytes(INSTRUMENT_NAME, part.instrument) },
    { tick: 0, rank: RANK.program, bytes: programBytes(channel, programOf(part.instrument)) },
  ];
  for (const { pitch, tick, endTick } of struckNotes(voice)) {
    events.push({ tick, rank: RANK.onset, bytes: noteOnBytes(channel, pitch, VELOCITY) });
    events.push({ tick: endTick, rank: RANK.release, bytes: noteOffBytes(channel, pitch) });
  }
  return events;
}

interface StruckNote {
  readonly pitch: number;
  readonly tick: number;
  readonly endTick: number;
}

function struckNotes(voice: Voice): StruckNote[] {
  const main: StruckNote[] = [];
  const graces: StruckNote[] = [];
  const byOnset = new Map<Onset, Note[]>();
  for (const { onset, note } of voice.notes) byOnset.set(onset, [...(byOnset.get(onset) ?? []), note]);
  for (const [{ tick }, notes] of byOnset) {
    const own = notes.filter((n) => n.ornament === 'grace');
    own.sort((a, b) => (a.graceIndex ?? 0) - (b.graceIndex ?? 0));
    const length = GRACE_TICKS.find((ticks) => own.length * ticks < tick) ?? GRACE_TICKS[0];
    own.forEach(({ pitch }, i) => {
      // Before the onset; where the passage only begins there is no before.
      const start = Math.max(0, tick - (own.length - i) * length);
      graces.push({ pitch, tick: start, endTick: start + length });
    });
    for (const { pitch, ornament, durationTicks } of notes) {
      if (ornament !== 'grace') main.push({ pitch, tick, endTick: tick + durationTicks });
    }
  }
  // A held note must be let go before a grace note strikes its key again.
  const cut = main.map((note) => {
    const again = graces.find((g) => g.pitch === note.pitch && g.tick > note.tick && g.tick < note.endTick);
    return again ? { ...note, endTick: again.tick } : note;
  });
  return [...cut, ...graces];
}
