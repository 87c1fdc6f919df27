// The ABC reader (ABC 2.1, December 2011): one tune of a file to a passage.
//
// Its own reading, not a library's: the page layout that the ABC libraries aim at loses what matters here (measured
// with abcjs 6.7.2: a voice that pauses for a line slides into another staff, (5 (7 and (9 in compound meter have the
// wrong length, !dacoda! is unknown, tempos are cut to whole numbers, ties in overlays are lost, and loading it takes
// 270 ms). abcjs and abc2midi are the second opinions in the tests.
//
// Our own header: `%%fettle-instrument NAME` (or `I:fettle-instrument NAME`), a stylesheet directive that other ABC
// programs pass over. In the tune's header it holds for all parts, after a V: field for the part of that voice. NAME
// is one of src/music/instrument.ts. It gives the transposition; K: or V: transpose= does so too, and wins.

import { INSTRUMENT_NAMES, INSTRUMENTS, type InstrumentName, isInstrumentName } from '../music/instrument.ts';
import { barTicks, isCompound, type Meter } from '../music/meter.ts';
import type { Tempo } from '../music/tempo.ts';
import { type AbcBook, type AbcLine, type AbcTune, findTune, openAbcBook } from './abc-book.ts';
import {
  defaultUnitLength,
  readMeter,
  readPartOrder,
  readStaffWords,
  readTempo,
  readUnitLength,
  type StaffWords,
  splitWords,
} from './abc-fields.ts';
import { layOutVoices } from './abc-layout.ts';
import { type AbcContext, readMusicLine } from './abc-music.ts';
import { AbcVoice, type Propagation } from './abc-voice.ts';
import { chooseInstrument } from './instrument-choice.ts';
import { buildPassage } from './passage-builder.ts';
import { playingOrder } from './playing-order.ts';
import { IssueList, LARGEST_FILE_BYTES, type Place, type Reading, unreadable } from './reading.ts';
import { type DraftBar, type DraftScore, emptyBar } from './score-draft.ts';

export interface AbcOptions {
  /** X: number, place in the file from 1, or title; the first tune without it. */
  readonly tune?: number | string;
}

/** Reads one tune. `name` is the passage's name, as the player gave it. */
export async function readAbc(text: string, name: string, options: AbcOptions = {}): Promise<Reading> {
  if (text.length > LARGEST_FILE_BYTES) {
    return unreadable(
      'file.too-large',
      `Cannot read ${name}: more than ${LARGEST_FILE_BYTES} characters of ABC`,
    );
  }
  const book = openAbcBook(text);
  const tune = options.tune === undefined ? book.tunes[0] : findTune(book, options.tune);
  if (!tune)
    return unreadable(
      options.tune === undefined ? 'abc.empty' : 'abc.tune',
      missingTune(book, name, options),
    );
  const issues = new IssueList();
  if (options.tune === undefined && book.tunes.length > 1) {
    const others = book.tunes.length === 2 ? 'the other one' : `the ${book.tunes.length - 1} others`;
    issues.warn(
      'abc.several-tunes',
      `The first of ${book.tunes.length} tunes is read; name ${others} with ${name}#NUMBER`,
    );
  }
  const score = new TuneReader(tune, issues).read(book.header);
  return buildPassage(score, name, issues);
}

function missingTune(book: AbcBook, name: string, options: AbcOptions): string {
  if (book.tunes.length === 0) return `Cannot read ${name}: it is empty`;
  const list = book.tunes.slice(0, 12).map((tune) => `${tune.number || '?'} ${tune.title}`.trim());
  return `Cannot find tune "${options.tune}" in ${name}: it has ${list.join(', ')}${book.tunes.length > 12 ? ', ...' : ''}`;
}

/** Everything said of one voice before its music: by V: and our own directive. */
interface VoiceHeader {
  words: StaffWords;
  instrument?: InstrumentName;
}

class TuneReader {
  private title = '';
  private composer = '';
  private meter: Meter | 'free' = 'free';
  private unit: number | undefined;
  private tempoText: { readonly text: string; readonly place: Place } | undefined;
  private keyText: { readonly text: string; readonly place: Place } | undefined;
  private partOrder: { readonly text: string; readonly place: Place } | undefined;
  private score = '';
  private instrument: InstrumentName | undefined;
  private propagation: Propagation = 'pitch';
  private readonly voiceHeaders = new Map<string, VoiceHeader>();
  private readonly voices = new Map<string, AbcVoice>();
  private headerVoice: string | undefined;
  private context: AbcContext | undefined;
  private places = layOutVoices('');
  private inText = false;
  private lastField = '';

  private readonly tune: AbcTune;
  private readonly issues: IssueList;

  constructor(tune: AbcTune, issues: IssueList) {
    this.tune = tune;
    this.issues = issues;
  }

  read(fileHeader: readonly AbcLine[]): DraftScore {
    for (const line of fileHeader) this.headerLine(line);
    for (const line of this.tune.lines) {
      if (this.issues.failed) break;
      if (this.skipText(line.text)) continue;
      if (this.context) this.bodyLine(line, this.context);
      else if (!this.headerLine(line)) this.bodyLine(line, this.beginBody(line));
    }
    for (const voice of this.voices.values()) voice.finish();
    return this.assemble();
  }

  /** %%begintext ... %%endtext and their like hold no music. */
  private skipText(text: string): boolean {
    const m = /^%%\s*(begin|end)(text|ps|svg|ml)\b/.exec(text);
    if (m) this.inText = m[1] === 'begin';
    return this.inText || m !== null;
  }

  /** False where the line is not of the header: the body begins. */
  private headerLine({ text, line }: AbcLine): boolean {
    if (text.startsWith('%%')) {
      this.directive(text.slice(2), { line, column: 1 });
      return true;
    }
    const bare = withoutComment(text);
    if (bare.trim() === '') return true;
    const m = /^([A-Za-z+]):(.*)$/.exec(bare);
    if (!m) return false;
    const letter = m[1]!;
    const value = m[2]!.trim();
    const place = { line, column: 1 };
    if (this.keyText && !'+VIUwWsNrRZ'.includes(letter)) return false;
    this.lastField = letter === '+' ? this.lastField : letter;
    switch (letter) {
      case 'T':
        if (this.title === '') this.title = plainText(value);
        break;
      case 'C':
        this.composer = this.composer === '' ? plainText(value) : `${this.composer}, ${plainText(value)}`;
        break;
      case 'M': {
        const meter = readMeter(value);
        if (meter === undefined) this.issues.error('abc.meter', `Cannot read the meter "${value}"`, place);
        else this.meter = meter;
        break;
      }
      case 'L':
        this.unit = readUnitLength(value);
        if (this.unit === undefined)
          this.issues.error('abc.unit', `Cannot read the unit length "${value}"`, place);
        break;
      case 'Q':
        this.tempoText = { text: value, place };
        break;
      case 'P':
        this.partOrder = { text: value, place };
        break;
      case 'K':
        this.keyText = { text: value, place };
        break;
      case 'V':
        this.voiceField(value, place);
        break;
      case 'I':
        this.directive(value, place);
        break;
      case 'U':
        this.userSigns.push({ text: value, place });
        break;
      case 'm':
        this.issues.warn('abc.macro', `Macros are not played out: "${value}" is left as written`, place);
        break;
      default:
    }
    return true;
  }

  private readonly userSigns: { readonly text: string; readonly place: Place }[] = [];

  private directive(text: string, place: Place): void {
    const [word = '', ...others] = text.trim().split(/\s+/);
    const value = others.join(' ');
    switch (word) {
      case 'fettle-instrument':
        this.instrumentDirective(value, place);
        break;
      case 'score':
      case 'staves':
        if (this.context) {
          this.issues.warn('abc.score', 'A new order of voices in the middle of the tune is left out', place);
        } else this.score = value;
        break;
      case 'propagate-accidentals':
        if (value === 'not' || value === 'octave' || value === 'pitch') this.propagation = value;
        else this.issues.warn('abc.directive', `Not understood: propagate-accidentals "${value}"`, place);
        for (const voice of this.voices.values()) voice.propagation = this.propagation;
        break;
      case 'setbarnb':
        if (/^\d{1,5}$/.test(value)) this.setBarNumber(Number(value));
        else this.issues.warn('abc.directive', `Not understood: setbarnb "${value}"`, place);
        break;
      case 'decoration':
        if (this.context) this.context.plusDecorations = value === '+';
        this.plus = value === '+';
        break;
      case 'MIDI':
        if (/^transpose\b/.test(value)) {
          const message = '%%MIDI transpose is left out: write transpose= in K: or V: instead';
          this.issues.warn('abc.directive', message, place);
        }
        break;
      default:
    }
  }

  private plus = false;
  private firstBarNumber: number | undefined;

  private setBarNumber(number: number): void {
    if (this.context) this.context.voice.setBarNumber(number);
    else this.firstBarNumber = number;
  }

  private instrumentDirective(value: string, place: Place): void {
    if (!isInstrumentName(value)) {
      const message = `The instrument "${value}" is not known; known are ${INSTRUMENT_NAMES.join(', ')}`;
      this.issues.warn('abc.instrument', message, place);
    } else if (this.headerVoice === undefined) this.instrument = value;
    else this.voiceHeader(this.headerVoice).instrument = value;
  }

  private voiceHeader(id: string): VoiceHeader {
    const known = this.voiceHeaders.get(id);
    if (known) return known;
    const header: VoiceHeader = { words: {} };
    this.voiceHeaders.set(id, header);
    return header;
  }

  /** V: in the header tells of a voice, in the body it also turns to it. Returns its name. */
  private voiceField(value: string, place: Place): string {
    const [id = '1', ...words] = splitWords(value);
    const unknown: string[] = [];
    const read = readStaffWords(words, unknown);
    for (const word of unknown)
      this.issues.warn('abc.voice', `Not understood of voice ${id}: ${word}`, place);
    const header = this.voiceHeader(id);
    header.words = { ...header.words, ...read };
    this.headerVoice = id;
    return id;
  }

  private beginBody(line: AbcLine): AbcContext {
    if (!this.keyText) {
      this.issues.warn('abc.no-key', 'No K: field ends the header: read in C major', { line: line.line });
    }
    this.unit ??= defaultUnitLength(this.meter);
    this.places = layOutVoices(this.score);
    const { issues } = this;
    const turned = /^\s*\[?V:\s*([^\s\]]+)/.exec(line.text)?.[1];
    const signs = new Map<string, string>();
    const context: AbcContext = {
      issues,
      voice: this.voice(turned ?? this.headerVoice ?? this.places[0]?.id ?? '1'),
      compound: this.meter !== 'free' && isCompound(this.meter),
      signs,
      plusDecorations: this.plus,
      inlineField: (letter, text, place) => this.bodyField(letter, text, place, context),
    };
    this.context = context;
    for (const { text, place } of this.userSigns) this.userSign(text, place, signs);
    if (this.tempoText) this.tempo(this.tempoText.text, this.tempoText.place, context);
    if (this.firstBarNumber !== undefined) context.voice.setBarNumber(this.firstBarNumber);
    return context;
  }

  private userSign(text: string, place: Place, signs: Map<string, string>): void {
    const m = /^([~H-Wh-w])\s*=\s*[!+"]?([^!+"]*)[!+"]?$/.exec(text);
    if (!m) this.issues.warn('abc.sign', `Not understood: U:${text}`, place);
    else signs.set(m[1]!, /^nil$|^none$/i.test(m[2]!.trim()) ? '' : m[2]!.trim());
  }

  /** The voice called `id`, made when its music begins. */
  private voice(id: string): AbcVoice {
    const known = this.voices.get(id);
    if (known) return known;
    let seat = this.places.find((p) => p.id === id);
    if (!seat) {
      if (this.score !== '') {
        this.issues.warn('abc.voice', `Voice ${id} is not in the score directive: read as a part of its own`);
      }
      const part = Math.max(-1, ...this.places.map((p) => p.part)) + 1;
      seat = { id, part, staff: 1 };
      this.places = [...this.places, seat];
    }
    const rank = this.places.findIndex((p) => p.id === id);
    const start = { meter: this.meter, unitTicks: this.unit ?? defaultUnitLength(this.meter) };
    const voice = new AbcVoice({ part: seat.part, staff: seat.staff, rank }, start, this.issues);
    voice.propagation = this.propagation;
    if (this.keyText) voice.setKey(this.keyText.text, this.keyText.place);
    const header = this.voiceHeaders.get(id);
    if (header) voice.setStaff(header.words);
    const instrument = header?.instrument ?? this.instrumentOfPart(seat.part);
    const spoken = header?.words.transpose !== undefined || /transpose\s*=/.test(this.keyText?.text ?? '');
    if (instrument && !spoken) voice.transposition = INSTRUMENTS[instrument].transposition;
    else if (instrument && voice.transposition !== INSTRUMENTS[instrument].transposition) {
      const message = `transpose=${voice.transposition} disagrees with the ${INSTRUMENTS[instrument].name}: transpose= holds`;
      this.issues.warn('abc.transpose', message, this.keyText?.place);
    }
    this.voices.set(id, voice);
    return voice;
  }

  private instrumentOfPart(part: number): InstrumentName | undefined {
    const ids = this.places.filter((p) => p.part === part).map((p) => p.id);
    const named = ids.map((id) => this.voiceHeaders.get(id)?.instrument).find((i) => i !== undefined);
    return named ?? this.instrument;
  }

  private bodyLine({ text, line }: AbcLine, context: AbcContext): void {
    if (text.startsWith('%%')) {
      this.directive(text.slice(2), { line, column: 1 });
      return;
    }
    const bare = withoutComment(text);
    if (bare.trim() === '') return;
    const m = /^([A-Za-z+]):(.*)$/.exec(bare);
    if (m && m[1] !== '+' && !/^[|:]/.test(m[2]!.trim())) {
      this.bodyField(m[1]!, m[2]!.trim(), { line, column: 1 }, context);
    } else if (m) {
      if (m[1] !== '+') readMusicLine(bare, line, context);
    } else readMusicLine(bare, line, context);
  }

  private bodyField(letter: string, text: string, place: Place, context: AbcContext): void {
    const { issues } = this;
    switch (letter) {
      case 'K':
        context.voice.setKey(text, place);
        break;
      case 'M': {
        const meter = readMeter(text);
        if (meter === undefined) issues.error('abc.meter', `Cannot read the meter "${text}"`, place);
        else {
          context.voice.setMeter(meter, place);
          context.compound = meter !== 'free' && isCompound(meter);
        }
        break;
      }
      case 'L': {
        const unit = readUnitLength(text);
        if (unit === undefined) issues.error('abc.unit', `Cannot read the unit length "${text}"`, place);
        else context.voice.unitTicks = unit;
        break;
      }
      case 'Q':
        this.tempo(text, place, context);
        break;
      case 'V':
        context.voice = this.voice(this.voiceField(text, place));
        break;
      case 'P':
        context.voice.beginSection(plainText(text));
        break;
      case 'I':
        this.directive(text, place);
        break;
      case 'U':
        this.userSign(text, place, context.signs);
        break;
      case 'w':
      case 'W':
        issues.warnOnce('abc.words', 'Words under the music are left out', place);
        break;
      case 's':
        issues.warn('abc.symbol-line', 'A line of symbols is left out: write them before their notes', place);
        break;
      case 'm':
        issues.warn('abc.macro', `Macros are not played out: "${text}" is left as written`, place);
        break;
      case 'X':
        issues.warn(
          'abc.field',
          'An X: field stands inside a tune: an empty line should come before it',
          place,
        );
        break;
      default:
        if (!/[A-DFGHNORSTZr]/.test(letter))
          issues.warn('abc.field', `Not understood: the field ${letter}:`, place);
    }
  }

  private tempo(text: string, place: Place, context: AbcContext): void {
    const tempo: Tempo | 'words' | undefined = readTempo(text, context.voice.unitTicks);
    if (tempo === undefined) this.issues.warn('abc.tempo', `Not understood: the tempo "${text}"`, place);
    else if (tempo !== 'words') context.voice.addTempo(tempo);
  }

  /** Bars of all voices side by side. The first voice's meter, key and repeats hold for all. */
  private assemble(): DraftScore {
    const ordered = [...this.places].map((p) => this.voices.get(p.id)).filter((v) => v !== undefined);
    const lead = ordered[0];
    const total = Math.max(0, ...ordered.map((v) => v.bars.length));
    const bars: DraftBar[] = [];
    for (let i = 0; i < total; i += 1) bars.push(this.joinBars(ordered, i));
    for (const voice of ordered) {
      if (voice.bars.length !== total && voice.bars.length > 0 && ordered.length > 1) {
        const message = `The voices have different numbers of bars (${ordered.map((v) => v.bars.length).join(', ')}): the shorter are silent to the end`;
        this.issues.warnOnce('abc.voice-length', message);
      }
    }
    const order = lead && this.orderOfSections(lead, bars);
    return {
      title: this.title || 'Untitled',
      ...(this.composer !== '' && { composer: this.composer }),
      parts: this.parts(),
      bars,
      ...(order && { order }),
    };
  }

  private joinBars(voices: readonly AbcVoice[], i: number): DraftBar {
    const all = voices.map((voice) => voice.bars[i]).filter((bar) => bar !== undefined);
    const lead = all[0]!;
    const bar = emptyBar(lead.meter, lead.place ?? all.find((b) => b.place)?.place);
    bar.irregular = lead.irregular;
    bar.sectionEnd = all.some((b) => b.sectionEnd);
    bar.route = Object.assign({}, ...[...all].reverse().map((b) => b.route));
    bar.durationTicks = Math.max(...all.map((b) => b.durationTicks));
    const number = all.find((b) => b.number !== undefined)?.number;
    if (number !== undefined) bar.number = number;
    bar.keys.push(...lead.keys);
    for (const b of all) {
      bar.notes.push(...b.notes);
      bar.tempos.push(...b.tempos);
      bar.marks.push(...b.marks);
      if (b.durationTicks !== bar.durationTicks) {
        const full = barTicks(lead.meter);
        const message = `The voices of this bar are not equally long (${all
          .map((v) => v.durationTicks / full)
          .map((x) => Math.round(x * 1000) / 1000)
          .join(', ')} of a bar)`;
        if (b === all.find((v) => v.durationTicks !== bar.durationTicks)) {
          this.issues.warn('bar.voices', message, b.place);
        }
      }
    }
    return bar;
  }

  private orderOfSections(lead: AbcVoice, bars: readonly DraftBar[]): number[] | undefined {
    if (!this.partOrder) return undefined;
    const { text, place } = this.partOrder;
    const labels = readPartOrder(text);
    const starts = lead.sections;
    if (!labels || labels.some((label) => !starts.some((s) => s.label === label))) {
      const message = `The order of parts "${text}" does not fit the parts of the tune: played as written`;
      this.issues.warn('abc.part-order', message, place);
      return undefined;
    }
    const order: number[] = [];
    for (const label of labels) {
      const k = starts.findIndex((s) => s.label === label);
      const from = starts[k]!.bar;
      const to = starts[k + 1]?.bar ?? bars.length;
      const inside = playingOrder(bars.slice(from, to).map((bar) => bar.route));
      order.push(...(inside ?? []).map((i) => i + from));
    }
    return order;
  }

  private parts(): DraftScore['parts'] {
    const count = Math.max(0, ...this.places.map((p) => p.part)) + 1;
    return Array.from({ length: count }, (_, part) => {
      const seats = this.places.filter((p) => p.part === part);
      const spoken = seats.map((p) => this.voiceHeaders.get(p.id)?.words.name).find((n) => n !== undefined);
      const transposition =
        seats.map((p) => this.voices.get(p.id)?.transposition).find((t) => t !== undefined) ?? 0;
      const declared = this.instrumentOfPart(part);
      if (declared && INSTRUMENTS[declared].transposition === transposition) {
        return { name: spoken ?? INSTRUMENTS[declared].name, instrument: declared };
      }
      const { instrument, doubt } = chooseInstrument(spoken ?? '', transposition);
      if (doubt) this.issues.warn('instrument.doubt', `Instrument in doubt: ${doubt}`);
      return { name: spoken ?? INSTRUMENTS[instrument].name, instrument };
    });
  }
}

/** A comment begins at % and ends with the line; \% is a percent sign. */
function withoutComment(text: string): string {
  const at = text.search(/(?<!\\)%/);
  return at < 0 ? text : text.slice(0, at);
}

/** Backslashed signs of ABC text strings (2.1, section 8.2) that stand for themselves. */
function plainText(text: string): string {
  return text.replace(/\\([%&\\])/g, '$1').trim();
}
