// The notes of one voice in MusicXML, measure by measure.

import { beatsOfBar, barTicks as ticksOfBar } from '../../music/meter.ts';
import type { Articulation, Note, Ornament } from '../../music/onset.ts';
import type { Passage } from '../../music/passage.ts';
import { keyAlter, type Spelling } from '../../music/pitch.ts';
import { TICKS_PER_QUARTER } from '../../music/ticks.ts';
import { type TupletGroup, tupletGroups } from '../written/tuplet-groups.ts';
import { partFifths, type WrittenEvent, type WrittenVoice } from '../written/voice.ts';
import { type BeamMark, beamsOf } from './beams.ts';
import { type NoteValue, noteValue, splitIntoValues } from './note-values.ts';
import { directionsXml, keyXml } from './writer-marks.ts';
import { escapeXml } from './xml-text.ts';

const ORNAMENTS: Record<Exclude<Ornament, 'grace'>, string> = {
  trill: '<trill-mark/>',
  mordent: '<mordent/>',
  turn: '<turn/>',
};
const ARTICULATIONS: Record<Exclude<Articulation, 'fermata'>, string> = {
  staccato: '<staccato/>',
  tenuto: '<tenuto/>',
  accent: '<accent/>',
  marcato: '<strong-accent/>',
  breath: '<breath-mark/>',
};
const ACCIDENTALS: Record<number, string> = {
  [-2]: 'flat-flat',
  [-1]: 'flat',
  0: 'natural',
  1: 'sharp',
  2: 'double-sharp',
};

/** A part of an event that one note value can write. */
interface Piece {
  readonly event: WrittenEvent;
  readonly offset: number;
  readonly ticks: number;
  readonly value: NoteValue | undefined;
  readonly first: boolean;
  readonly last: boolean;
  readonly group: TupletGroup | undefined;
  readonly opensGroup: boolean;
  readonly closesGroup: boolean;
}

export interface VoiceWriting {
  /** The first voice of a part carries its keys; that of the first part tempos and rehearsal marks too. */
  readonly leads: boolean;
  /** Of a quarter note. */
  readonly divisions: number;
  /** By tick the voice under whose note stands what stands under the notes. */
  readonly firstStriking: ReadonlyMap<number, WrittenVoice>;
}

export class VoiceXml {
  private slurOpen = false;
  private accidentals = new Map<string, number>();
  private fifths = 0;
  private readonly staves: number;
  private readonly passage: Passage;
  private readonly voice: WrittenVoice;
  private readonly leads: boolean;
  private readonly divisions: number;
  private readonly firstStriking: VoiceWriting['firstStriking'];

  constructor(passage: Passage, voice: WrittenVoice, how: VoiceWriting) {
    this.passage = passage;
    this.voice = voice;
    this.leads = how.leads;
    this.divisions = how.divisions;
    this.firstStriking = how.firstStriking;
    const staves = passage.onsets.flatMap(({ notes }) =>
      notes.filter((n) => n.part === voice.part).map((n) => n.staff),
    );
    this.staves = staves.reduce((most, staff) => Math.max(most, staff), 1);
  }

  measure(index: number): string {
    const bar = this.passage.bars[index]!;
    const events = this.voice.bars[index]!;
    this.accidentals = new Map();
    // Only in a full bar: elsewhere other programs take the sign for a bar of the meter.
    if (events.length === 1 && events[0]!.notes.length === 0 && bar.durationTicks === ticksOfBar(bar.meter)) {
      const directions =
        this.leads && this.voice.part === 0
          ? directionsXml(this.passage, bar.startTick, {
              nextTick: bar.startTick + bar.durationTicks,
              divisions: this.divisions,
            })
          : '';
      return `${directions}      <note><rest measure="yes"/>${this.durationXml(bar.durationTicks)}${this.seat()}</note>\n`;
    }
    const beats = beatsOfBar(bar).map((tick) => tick - bar.startTick);
    const pieces = cutIntoPieces(events, beats, bar.durationTicks);
    const beams = beamsOf(
      pieces.map(({ offset, value, event, group }) => ({
        offset,
        value,
        rest: event.notes.length === 0,
        group,
      })),
      beats,
    );
    return pieces
      .map((piece, i) => this.marks(piece, bar.startTick) + this.piece(piece, beams[i]!, bar.startTick))
      .join('');
  }

  private marks({ event, first }: Piece, barStart: number): string {
    const tick = barStart + event.offset;
    const key = this.passage.keys.filter((k) => k.tick <= tick).at(-1);
    this.fifths = partFifths(this.passage, this.voice.part, key?.fifths ?? 0);
    if (!first || !this.leads) return '';
    const keyText = event.offset > 0 ? keyXml(this.passage, this.voice.part, tick) : '';
    const attributes = keyText === '' ? '' : `      <attributes>${keyText}</attributes>\n`;
    if (this.voice.part !== 0) return attributes;
    const nextTick = tick + event.durationTicks;
    return attributes + directionsXml(this.passage, tick, { nextTick, divisions: this.divisions });
  }

  private piece(piece: Piece, beams: readonly BeamMark[], barStart: number): string {
    const { event, first } = piece;
    const graces = first ? event.graceNotes.map((note) => this.grace(note)).join('') : '';
    if (event.notes.length === 0) {
      const inside = `<rest/>${this.durationXml(piece.ticks)}${this.seat(valueXml(piece))}`;
      return `${graces}      <note>${inside}${notations(tupletXml(piece))}</note>\n`;
    }
    const slur = first ? this.slur(event) : '';
    const tick = barStart + event.offset;
    const under = first && this.firstStriking.get(tick) === this.voice ? underXml(this.passage, tick) : '';
    const notes = event.notes.map(({ note, tiedFrom, tiedTo }, i) => {
      const from = tiedFrom || !first;
      const to = tiedTo || !piece.last;
      const struck = !from;
      const ties = `${from ? '<tie type="stop"/>' : ''}${to ? '<tie type="start"/>' : ''}`;
      const accidental = struck ? this.accidental(note.spelling) : '';
      const beam = i === 0 ? beams.map((b, level) => `<beam number="${level + 1}">${b}</beam>`).join('') : '';
      const marks = [
        from ? '<tied type="stop"/>' : '',
        to ? '<tied type="start"/>' : '',
        i === 0 ? slur + tupletXml(piece) : '',
        struck ? marksXml(note) : '',
      ].join('');
      const head = `${i > 0 ? '<chord/>' : ''}${pitchXml(note.spelling)}${this.durationXml(piece.ticks)}${ties}`;
      const lyric = i === 0 && struck ? under : '';
      return `      <note>${head}${this.seat(valueXml(piece, accidental), beam)}${notations(marks)}${lyric}</note>\n`;
    });
    return graces + notes.join('');
  }

  private grace(note: Note): string {
    const accidental = this.accidental(note.spelling);
    return `      <note><grace slash="yes"/>${pitchXml(note.spelling)}${this.seat(`<type>eighth</type>${accidental}`)}</note>\n`;
  }

  private slur(event: WrittenEvent): string {
    if (event.slurred === this.slurOpen) return '';
    this.slurOpen = event.slurred;
    return `<slur type="${event.slurred ? 'start' : 'stop'}" number="1"/>`;
  }

  /** An accidental where key and bar do not give it. */
  private accidental({ letter, alter, octave }: Spelling): string {
    const place = `${letter}${octave}`;
    const inForce = this.accidentals.get(place) ?? keyAlter(letter, this.fifths);
    this.accidentals.set(place, alter);
    return inForce === alter ? '' : `<accidental>${ACCIDENTALS[alter]}</accidental>`;
  }

  /** Voice, value and staff in the order of the schema. */
  private seat(value = '', beam = ''): string {
    const staff = this.staves > 1 ? `<staff>${this.voice.staff}</staff>` : '';
    return `<voice>${this.voice.voice}</voice>${value}${staff}${beam}`;
  }

  private durationXml(ticks: number): string {
    return `<duration>${(ticks * this.divisions) / TICKS_PER_QUARTER}</duration>`;
  }
}

function cutIntoPieces(events: readonly WrittenEvent[], beats: readonly number[], barTicks: number): Piece[] {
  const groups = tupletGroups(events);
  return events.flatMap((event, i) => {
    const group = groups.find((g) => i >= g.first && i < g.first + g.events);
    const scale = group ? group.normal / group.actual : 1;
    const byBeats = event.notes.length > 0 ? heldValues : restValues;
    const values =
      (group ? undefined : byBeats(event, beats, barTicks)) ?? splitIntoValues(event.durationTicks / scale);
    let offset = event.offset;
    return (values ?? [undefined]).map((value, k, all): Piece => {
      const ticks = value ? value.ticks * scale : event.durationTicks;
      const last = k === all.length - 1;
      const piece = {
        event,
        offset,
        ticks,
        value,
        first: k === 0,
        last,
        group,
        opensGroup: group?.first === i && k === 0,
        closesGroup: group !== undefined && group.first + group.events - 1 === i && last,
      };
      offset += ticks;
      return piece;
    });
  });
}

/**
 * A rest first fills the beat in which it begins, short values before long ones; where beats are dotted or unequal it
 * goes on beat by beat. Undefined where no values add up to it.
 */
function restValues(
  { offset, durationTicks }: WrittenEvent,
  beats: readonly number[],
  barTicks: number,
): NoteValue[] | undefined {
  const isPlain = arePlain(beats, barTicks);
  const end = offset + durationTicks;
  const values: NoteValue[] = [];
  for (let at = offset; at < end; ) {
    const onBeat = beats.includes(at);
    const nextBeat = beats.find((beat) => beat > at) ?? end;
    const until = onBeat && isPlain ? end : Math.min(end, nextBeat);
    const some = splitIntoValues(until - at);
    if (!some) return undefined;
    values.push(...(onBeat ? some : some.reverse()));
    at = until;
  }
  return values;
}

/**
 * Where beats are dotted, a note that goes on into another beat is tied there, unless one value lasts just as long as the
 * beats that it fills: in 12/8 a note of four eighths is a dotted quarter and an eighth, never a half. Where they are
 * unequal it is known less surely where they begin: there only what no value of one dot lasts is tied.
 */
function heldValues(
  { offset, durationTicks }: WrittenEvent,
  beats: readonly number[],
  barTicks: number,
): NoteValue[] | undefined {
  const lengths = beatLengths(beats, barTicks);
  const areDotted = lengths.every((ticks) => noteValue(ticks)?.dots === 1);
  if (arePlain(beats, barTicks) || (!areDotted && hasOneDot(durationTicks))) return undefined;
  const end = offset + durationTicks;
  const edges = [...beats, barTicks].filter((edge) => edge > offset && edge <= end);
  const values: NoteValue[] = [];
  for (let at = offset; at < end; ) {
    const onBeat = beats.includes(at);
    const ahead = edges.filter((edge) => edge > at);
    const filled = onBeat ? ahead.findLast((edge) => hasOneDot(edge - at)) : undefined;
    const until = filled ?? ahead[0] ?? end;
    const some = splitIntoValues(until - at);
    if (!some) return undefined;
    values.push(...(onBeat ? some : some.reverse()));
    at = until;
  }
  return values;
}

/** There is a value of that length with a dot at most. */
function hasOneDot(ticks: number): boolean {
  return (noteValue(ticks)?.dots ?? 2) < 2;
}

function beatLengths(beats: readonly number[], barTicks: number): number[] {
  return beats.map((beat, i) => (beats[i + 1] ?? barTicks) - beat);
}

/** Beats that are all of one undotted value. */
function arePlain(beats: readonly number[], barTicks: number): boolean {
  const lengths = beatLengths(beats, barTicks);
  const isLast = (i: number) => i > 0 && i === lengths.length - 1;
  // The last may be cut off.
  return lengths.every((ticks, i) =>
    isLast(i) ? ticks <= lengths[0]! : ticks === lengths[0] && noteValue(ticks)?.dots === 0,
  );
}

function pitchXml({ letter, alter, octave }: Spelling): string {
  const alterXml = alter === 0 ? '' : `<alter>${alter}</alter>`;
  return `<pitch><step>${letter}</step>${alterXml}<octave>${octave}</octave></pitch>`;
}

function valueXml({ value, group }: Piece, accidental = ''): string {
  if (!value) return accidental;
  const modification = group
    ? `<time-modification><actual-notes>${group.actual}</actual-notes><normal-notes>${group.normal}</normal-notes></time-modification>`
    : '';
  return `<type>${value.type}</type>${'<dot/>'.repeat(value.dots)}${accidental}${modification}`;
}

function tupletXml({ opensGroup, closesGroup }: Piece): string {
  return `${opensGroup ? '<tuplet type="start"/>' : ''}${closesGroup ? '<tuplet type="stop"/>' : ''}`;
}

function marksXml(note: Note): string {
  const { ornament, articulations = [] } = note;
  const ornaments = ornament && ornament !== 'grace' ? `<ornaments>${ORNAMENTS[ornament]}</ornaments>` : '';
  const marks = articulations.map((a) => (a === 'fermata' ? '' : ARTICULATIONS[a])).join('');
  const fermata = articulations.includes('fermata') ? '<fermata/>' : '';
  return `${ornaments}${marks === '' ? '' : `<articulations>${marks}</articulations>`}${fermata}`;
}

/** What stands under a note: written as a lyric, which every program sets right under it. */
function underXml({ annotations = [] }: Passage, tick: number): string {
  return annotations
    .flatMap((one) => (one.kind === 'under' && one.tick === tick ? [one.text] : []))
    .map(
      (text, i) =>
        `<lyric number="${i + 1}"><syllabic>single</syllabic><text>${escapeXml(text)}</text></lyric>`,
    )
    .join('');
}

function notations(marks: string): string {
  return marks === '' ? '' : `<notations>${marks}</notations>`;
}
