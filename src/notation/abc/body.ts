// The body of an ABC tune: lines of music and fields, each to the voice that it belongs to.

import { INSTRUMENTS, type InstrumentName } from '../../music/instrument.ts';
import { isCompound } from '../../music/meter.ts';
import { MOST_PARTS } from '../draft/score.ts';
import { warnOfTempoWords } from '../draft/tempo-words.ts';
import type { FilePlace, IssueList } from '../reading.ts';
import type { AbcLine } from './book.ts';
import { defaultUnitLength, meterOf, readTempo, readUnitLength } from './fields.ts';
import {
  type AbcHeader,
  plainText,
  readBarNumber,
  splitDirective,
  warnOfMacro,
  withoutComment,
} from './header.ts';
import { layOutVoices, type VoicePlace } from './layout.ts';
import { type AbcContext, readMusicLine } from './music.ts';
import { AbcVoice } from './voice.ts';

export class AbcBody {
  readonly voices = new Map<string, AbcVoice>();
  /** Seats of all voices, those of the score directive first. */
  places: readonly VoicePlace[];
  private readonly context: AbcContext;
  private readonly header: AbcHeader;
  private readonly issues: IssueList;
  private readonly unitTicks: number;

  /** `first`: the line that the music begins with. */
  constructor(header: AbcHeader, first: AbcLine, issues: IssueList) {
    this.header = header;
    this.issues = issues;
    if (!header.key) {
      issues.warn('abc.no-key', 'No K: field ends the header: read in C major', { line: first.line });
    }
    this.unitTicks = header.unitTicks ?? defaultUnitLength(header.meter);
    this.places = layOutVoices(header.score);
    if (this.places.length > MOST_PARTS) {
      issues.error('parts.too-many', `Cannot read more than ${MOST_PARTS} voices`);
    }
    const turned = /^\s*\[?V:\s*([^\s\]]+)/.exec(first.text)?.[1];
    const signs = new Map<string, string>();
    this.context = {
      issues,
      voice: this.voice(turned ?? header.lastVoice ?? this.places[0]?.id ?? '1'),
      compound: header.meter !== 'free' && isCompound(header.meter),
      signs,
      plusDecorations: header.plusDecorations,
      inlineField: (letter, text, place) => this.field(letter, text, place),
    };
    for (const { text, place } of header.userSigns) this.userSign(text, place);
    if (header.tempo) this.tempo(header.tempo.text, header.tempo.place);
    if (header.firstBarNumber !== undefined) this.context.voice.setBarNumber(header.firstBarNumber);
  }

  readLine({ text, line }: AbcLine): void {
    const place = { line, column: 1 };
    if (text.startsWith('%%')) {
      this.directive(text.slice(2), place);
      return;
    }
    const bare = withoutComment(text);
    if (bare.trim() === '') return;
    const m = /^([A-Za-z+]):(.*)$/.exec(bare);
    // "c:|" begins with a note and a bar line, not with a field.
    const isField = m !== null && !/^[A-Ga-gxzZ]:[|:]/.test(bare);
    if (!isField) readMusicLine(bare, line, this.context);
    else if (m[1] !== '+') this.field(m[1]!, m[2]!.trim(), place);
  }

  finish(): void {
    for (const voice of this.voices.values()) voice.finish();
  }

  instrumentOfPart(part: number): InstrumentName | undefined {
    const ids = this.places.filter((p) => p.part === part).map((p) => p.id);
    const named = ids.map((id) => this.header.voices.get(id)?.instrument).find((i) => i !== undefined);
    return named ?? this.header.instrument;
  }

  /** The voice called `id`, made when its music begins. */
  private voice(id: string): AbcVoice {
    const known = this.voices.get(id);
    if (known) return known;
    const { header, issues } = this;
    const seat = this.places.find((p) => p.id === id) ?? this.newSeat(id);
    const rank = this.places.indexOf(seat);
    const start = { meter: header.meter, unitTicks: this.unitTicks };
    const voice = new AbcVoice({ part: seat.part, staff: seat.staff, rank }, start, issues);
    voice.accidentals.propagation = header.propagation;
    if (header.key) voice.setKey(header.key.text, header.key.place);
    const words = header.voices.get(id)?.words;
    if (words) voice.setStaff(words);
    const instrument = header.voices.get(id)?.instrument ?? this.instrumentOfPart(seat.part);
    const spoken = words?.transpose !== undefined || /transpose\s*=/.test(header.key?.text ?? '');
    if (instrument && !spoken) voice.transposition = INSTRUMENTS[instrument].transposition;
    else if (instrument && voice.transposition !== INSTRUMENTS[instrument].transposition) {
      const message = `transpose=${voice.transposition} disagrees with the ${INSTRUMENTS[instrument].name}: transpose= holds`;
      issues.warn('abc.transpose', message, header.key?.place);
    }
    this.voices.set(id, voice);
    return voice;
  }

  private newSeat(id: string): VoicePlace {
    if (this.header.score !== '') {
      this.issues.warn('abc.voice', `Voice ${id} is not in the score directive: read as a part of its own`);
    }
    if (this.places.length >= MOST_PARTS) {
      this.issues.error('parts.too-many', `Cannot read more than ${MOST_PARTS} voices`);
    }
    const seat = { id, part: Math.max(-1, ...this.places.map((p) => p.part)) + 1, staff: 1 };
    this.places = [...this.places, seat];
    return seat;
  }

  private directive(text: string, place: FilePlace): void {
    const { word, value } = splitDirective(text);
    const { context, header, issues } = this;
    if (word === 'setbarnb') {
      const number = readBarNumber(value, place, issues);
      if (number !== undefined) context.voice.setBarNumber(number);
    } else if (word === 'fettle-pickup') {
      context.voice.setPickup(value !== 'no');
    } else if (word === 'score' || word === 'staves') {
      issues.warn('abc.score', 'A new order of voices in the middle of the tune is left out', place);
    } else if (word === 'fettle-instrument') {
      issues.warn('abc.instrument', 'The instrument changes in the middle of the tune: left out', place);
    } else {
      header.directive(text, place);
      context.plusDecorations = header.plusDecorations;
      for (const voice of this.voices.values()) voice.accidentals.propagation = header.propagation;
    }
  }

  private field(letter: string, text: string, place: FilePlace): void {
    const { context, issues } = this;
    switch (letter) {
      case 'K':
        context.voice.setKey(text, place);
        break;
      case 'M': {
        const meter = meterOf(text, place, issues);
        context.voice.setMeter(meter, place);
        context.compound = meter !== 'free' && isCompound(meter);
        break;
      }
      case 'L': {
        const unit = readUnitLength(text);
        if (unit === undefined) issues.error('abc.unit', `Cannot read the unit length "${text}"`, place);
        else context.voice.unitTicks = unit;
        break;
      }
      case 'Q':
        this.tempo(text, place);
        break;
      case 'V':
        context.voice = this.voice(this.header.voiceField(text, place));
        break;
      case 'P':
        context.voice.beginSection(plainText(text));
        break;
      case 'I':
        this.directive(text, place);
        break;
      case 'U':
        this.userSign(text, place);
        break;
      case 'w':
      case 'W':
        issues.warnOnce('abc.words', 'Words under the music are left out', place);
        break;
      case 's':
        issues.warn('abc.symbol-line', 'A line of symbols is left out: write them before their notes', place);
        break;
      case 'm':
        warnOfMacro(text, place, issues);
        break;
      default:
        if (!/[A-DFGHNORSTZr]/.test(letter)) {
          issues.warn('abc.field', `Not understood: the field ${letter}:`, place);
        }
    }
  }

  private tempo(text: string, place: FilePlace): void {
    const tempo = readTempo(text, this.context.voice.unitTicks);
    if (tempo === undefined) this.issues.warn('abc.tempo', `Not understood: the tempo "${text}"`, place);
    else if (tempo !== 'words') this.context.voice.addTempo(tempo);
    else warnOfTempoWords(text.replaceAll('"', ''), place, this.issues);
  }

  private userSign(text: string, place: FilePlace): void {
    const m = /^([~H-Wh-w])\s*=\s*[!+"]?([^!+"]*)[!+"]?$/.exec(text);
    if (!m) this.issues.warn('abc.sign', `Not understood: U:${text}`, place);
    else this.context.signs.set(m[1]!, /^(nil|none)$/i.test(m[2]!.trim()) ? '' : m[2]!.trim());
  }
}
