// The lines of a MIDI file: the notes of one channel of one track, with what the file calls them; and which lines make
// one part. Program numbers are General MIDI 1 (here from 0, as in the bytes).

import { INSTRUMENTS, type InstrumentName, isInstrumentName } from '../../music/instrument.ts';
import { instrumentNamed } from '../choice/instrument.ts';
import type { IssueList } from '../reading.ts';
import type { MidiEvents } from './events.ts';
import { type FileNote, pairNotes } from './pairing.ts';
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

/** General MIDI 1 programs of the instruments known here. The clarinet is taken for the one in Bb. */
const PROGRAMS: Readonly<Record<number, InstrumentName>> = {
  56: 'trumpet',
  60: 'horn',
  64: 'soprano-sax',
  65: 'alto-sax',
  66: 'tenor-sax',
  67: 'baritone-sax',
  68: 'oboe',
  69: 'english-horn',
  70: 'bassoon',
  71: 'clarinet',
  72: 'piccolo',
  73: 'flute',
};

/** The program that sounds like an instrument. */
export function programOf(instrument: InstrumentName): number {
  if (instrument.endsWith('recorder')) return 74;
  if (instrument.includes('clarinet')) return 71;
  return Number(Object.keys(PROGRAMS).find((program) => PROGRAMS[Number(program)] === instrument) ?? 0);
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
        instrument: instrumentOf(track, channel, name),
        staff: hand?.[1] ?? 1,
        // Our own writer names the hands wherever there are two.
        handKnown: hand !== undefined || textOf(track, 'instrument-name') === 'keyboard',
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
        ? line.instrument === 'keyboard' &&
          name !== '' &&
          same.lines.length === 1 &&
          !same.lines[0]!.handKnown
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

function instrumentOf(track: MidiTrack, channel: number, name: string): InstrumentName {
  const said = textOf(track, 'instrument-name');
  if (said !== undefined) {
    if (isInstrumentName(said)) return said;
    const named = instrumentNamed(said);
    if (named) return named;
  }
  const program = track.events.find((e) => e.type === 'program' && e.channel === channel);
  const byProgram = program?.type === 'program' ? PROGRAMS[program.program] : undefined;
  const byName = instrumentNamed(name);
  // A name says which clarinet it is; the program only that it is one.
  if (
    byName &&
    INSTRUMENTS[byName] &&
    (byProgram === undefined || programOf(byName) === programOf(byProgram))
  ) {
    return byName;
  }
  return byProgram ?? 'keyboard';
}

export function textOf(
  track: MidiTrack,
  kind: 'track-name' | 'instrument-name' | 'text',
): string | undefined {
  const event = track.events.find((e) => e.type === 'text' && e.kind === kind && e.text !== '');
  return event?.type === 'text' ? event.text : undefined;
}

/** The title: the name of a track that plays nothing, or of a single one. */
export function titleOf(file: MidiEvents): string | undefined {
  const silent = file.tracks.find((t) => !t.events.some((e) => e.type === 'note-on'));
  if (silent) return textOf(silent, 'track-name');
  return file.tracks.length === 1 ? textOf(file.tracks[0]!, 'track-name') : undefined;
}
