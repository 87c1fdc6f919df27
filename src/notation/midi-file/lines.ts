// The lines of a MIDI file: the notes of one channel of one track, with what the file calls them; and which lines make
// one part.

import { type InstrumentName, isInstrumentName, isTwoHanded } from '../../music/instrument.ts';
import { instrumentNamed } from '../choice/instrument.ts';
import type { IssueList } from '../reading.ts';
import type { MidiEvents } from './events.ts';
import { type FileNote, pairNotes } from './pairing.ts';
import { areOneFamily, instrumentOfProgram, programOf } from './programs.ts';
import type { ChosenTracks } from './selection.ts';
import type { MidiTrack } from './track.ts';

export interface MidiLine {
  readonly name: string;
  readonly instrument: InstrumentName;
  /** 1 = upper staff or right hand, 2 = lower. */
  readonly staff: number;
  /** Whether the file says which hand it is. */
  readonly handKnown: boolean;
  readonly notes: readonly FileNote[];
  readonly track: MidiTrack;
}

export interface MidiPart {
  readonly name: string;
  readonly instrument: InstrumentName;
  readonly lines: readonly MidiLine[];
}

const HANDS: readonly (readonly [words: RegExp, staff: number])[] = [
  [/\b(right( hand)?|r\.?\s?h\.?|upper|treble)\b/i, 1],
  [/\b(left( hand)?|l\.?\s?h\.?|lower|bass (staff|clef))\b/i, 2],
];

export function linesOf(chosen: ChosenTracks, issues: IssueList): MidiLine[] {
  const lines: MidiLine[] = [];
  for (const track of chosen.tracks) {
    const { notes, strayReleases } = pairNotes(track);
    if (strayReleases > 0) {
      issues.warn(
        'midi.stray-release',
        `track ${track.number}: left out ${strayReleases} releases of notes that were not held`,
      );
    }
    const channels = [...new Set(notes.map((n) => n.channel))]
      .filter((c) => chosen.takes(c))
      .sort((a, b) => a - b);
    for (const channel of channels) {
      const name = textOf(track, 'track-name') ?? '';
      const hand = HANDS.find(([words]) => words.test(name));
      lines.push({
        name,
        instrument: instrumentOf(track, channel, name, issues),
        staff: hand?.[1] ?? 1,
        // Our own writer names the hands wherever there are two.
        handKnown: hand !== undefined || isOwnName(textOf(track, 'instrument-name')),
        notes: notes.filter((n) => n.channel === channel),
        track,
      });
    }
  }
  return lines;
}

/**
 * Lines that are called the same, hand and voice apart, and play the same instrument, are one part; two of one bare
 * name only on a keyboard, where they are the hands: two clarinets are two players.
 */
export function partsOf(lines: readonly MidiLine[]): MidiPart[] {
  const parts: { name: string; instrument: InstrumentName; lines: MidiLine[] }[] = [];
  for (const line of lines) {
    const name = partName(line.name);
    const bare = line.name === name;
    const same = parts.findLast((p) => p.name === name && p.instrument === line.instrument);
    const belongs =
      same !== undefined &&
      (bare
        ? isTwoHanded(line.instrument) && name !== '' && same.lines.length === 1 && !same.lines[0]!.handKnown
        : same.lines.every((l) => l.name !== name && comesAfter(line, l)));
    if (belongs) same.lines.push(bare ? { ...line, staff: 2, handKnown: true } : line);
    else parts.push({ name, instrument: line.instrument, lines: [line] });
  }
  return parts.map((part, i) => ({ ...part, name: part.name || `Part ${i + 1}` }));
}

/** The tracks of a part are in order of hand and voice; one that is not begins another part of the same name. */
function comesAfter(line: MidiLine, earlier: MidiLine): boolean {
  return line.staff > earlier.staff || (line.staff === earlier.staff && voiceIn(line) > voiceIn(earlier));
}

function voiceIn(line: MidiLine): number {
  return Number(/voice (\d+)\)$/.exec(line.name)?.[1] ?? 0);
}

/** "Keyboard (left hand, voice 2)" is of the part "Keyboard". */
function partName(lineName: string): string {
  const bare = lineName.replace(/ \((?:(?:right|left) hand)?(?:, )?(?:voice \d+)?\)$/, '').trim();
  if (bare !== lineName) return bare;
  const withoutHand = HANDS.reduce((name, [words]) => name.replace(words, ''), lineName);
  return withoutHand === lineName ? lineName : withoutHand.replace(/[\s\-:,()]+$/, '').trim();
}

/** What is appended to a part's name for one of several tracks; the reader takes it off again. */
export function lineSuffix(hand: 'right' | 'left' | undefined, voice: number | undefined): string {
  const words = [
    ...(hand === undefined ? [] : [`${hand} hand`]),
    ...(voice === undefined ? [] : [`voice ${voice}`]),
  ];
  return words.length === 0 ? '' : ` (${words.join(', ')})`;
}

/** Whether it is our own writer's name of an instrument. */
function isOwnName(said: string | undefined): boolean {
  return said !== undefined && isInstrumentName(said);
}

/** What the file says, in words before its program; what is not known is told and asked for. */
function instrumentOf(track: MidiTrack, channel: number, name: string, issues: IssueList): InstrumentName {
  const said = textOf(track, 'instrument-name');
  if (said !== undefined) {
    if (isInstrumentName(said)) return said;
    const named = instrumentNamed(said);
    if (named) return named;
  }
  const event = track.events.find((e) => e.type === 'program' && e.channel === channel);
  // A file without a program is played by General MIDI's first: a piano.
  const program = event?.type === 'program' ? event.program : 0;
  const byProgram = instrumentOfProgram(program);
  const byName = instrumentNamed(name);
  // A name says which clarinet it is; the program only that it is one. A piano's program is often no choice at all.
  if (byName && (byProgram === undefined || program === 0 || areOneFamily(program, programOf(byName)))) {
    return byName;
  }
  if (byProgram !== undefined) return byProgram;
  const called = `program ${program + 1}${name === '' ? '' : ` of "${name}"`}`;
  issues.warn(
    'instrument.unknown',
    `Track ${track.number}, ${called}, is no instrument known here: named as it sounds; say which it is with --instrument`,
  );
  return 'in-c';
}

function textOf(track: MidiTrack, kind: 'track-name' | 'instrument-name' | 'text'): string | undefined {
  const event = track.events.find((e) => e.type === 'text' && e.kind === kind && e.text !== '');
  return event?.type === 'text' ? event.text : undefined;
}

/** The title: the name of a track that plays nothing, or of a single one. */
export function titleOf(file: MidiEvents): string | undefined {
  const silent = file.tracks.find((t) => !t.events.some((e) => e.type === 'note-on'));
  if (silent) return textOf(silent, 'track-name');
  return file.tracks.length === 1 ? textOf(file.tracks[0]!, 'track-name') : undefined;
}
