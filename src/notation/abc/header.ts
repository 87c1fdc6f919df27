// The header of an ABC tune: what its fields and directives say before the music begins.
//
// Our own directive: `%%fettle-instrument NAME` (or `I:fettle-instrument NAME`), which other ABC programs pass over.
// It holds for all parts, behind a V: field for the part of that voice. NAME is one of src/music/instrument.ts. It
// gives the transposition; transpose= in K: or V: does so too, and wins. A second one, `[I:fettle-pickup]` or
// `[I:fettle-pickup no]` in the music, says whether a short bar is the tail of a bar, where its length does not tell.

import { INSTRUMENT_NAMES, type InstrumentName, isInstrumentName } from '../../music/instrument.ts';
import type { Meter } from '../../music/meter.ts';
import type { FilePlace, IssueList } from '../reading.ts';
import type { Propagation } from './accidentals.ts';
import type { AbcLine } from './book.ts';
import { meterOf, readStaffWords, readUnitLength, type StaffWords, splitWords } from './fields.ts';

export interface PlacedText {
  readonly text: string;
  readonly place: FilePlace;
}

/** Everything said of one voice before its music. */
export interface VoiceHeader {
  words: StaffWords;
  instrument?: InstrumentName;
}

export class AbcHeader {
  title = '';
  composer = '';
  meter: Meter | 'free' = 'free';
  unitTicks: number | undefined;
  tempo: PlacedText | undefined;
  key: PlacedText | undefined;
  partOrder: PlacedText | undefined;
  /** Text of %%score or %%staves. */
  score = '';
  instrument: InstrumentName | undefined;
  propagation: Propagation = 'pitch';
  plusDecorations = false;
  firstBarNumber: number | undefined;
  readonly userSigns: PlacedText[] = [];
  readonly voices = new Map<string, VoiceHeader>();
  /** The voice that the last V: field named. */
  lastVoice: string | undefined;
  private readonly issues: IssueList;

  constructor(issues: IssueList) {
    this.issues = issues;
  }

  /** False where the line is not of the header: the music begins. */
  readLine({ text, line }: AbcLine): boolean {
    const place = { line, column: 1 };
    if (text.startsWith('%%')) {
      this.directive(text.slice(2), place);
      return true;
    }
    const bare = withoutComment(text);
    if (bare.trim() === '') return true;
    const m = /^([A-Za-z+]):(.*)$/.exec(bare);
    if (!m) return false;
    // K: ends the header; V: and fields without music may follow before the first note.
    if (this.key && !'+VIUwWsNrRZ'.includes(m[1]!)) return false;
    this.field(m[1]!, m[2]!.trim(), place);
    return true;
  }

  private field(letter: string, value: string, place: FilePlace): void {
    switch (letter) {
      case 'T':
        if (this.title === '') this.title = plainText(value);
        break;
      case 'C':
        this.composer = this.composer === '' ? plainText(value) : `${this.composer}, ${plainText(value)}`;
        break;
      case 'M':
        this.meter = meterOf(value, place, this.issues);
        break;
      case 'L':
        this.unitTicks = readUnitLength(value);
        if (this.unitTicks === undefined) {
          this.issues.error('abc.unit', `Cannot read the unit length "${value}"`, place);
        }
        break;
      case 'Q':
        this.tempo = { text: value, place };
        break;
      case 'P':
        this.partOrder = { text: value, place };
        break;
      case 'K':
        this.key = { text: value, place };
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
        warnOfMacro(value, place, this.issues);
        break;
      default:
    }
  }

  /** Also called from the body, where a voice may still be introduced. Returns the voice's name. */
  voiceField(value: string, place: FilePlace): string {
    const [id = '1', ...words] = splitWords(value);
    const unknown: string[] = [];
    const read = readStaffWords(words, unknown);
    for (const word of unknown)
      this.issues.warn('abc.voice', `Not understood of voice ${id}: ${word}`, place);
    const header = this.voice(id);
    header.words = { ...header.words, ...read };
    this.lastVoice = id;
    return id;
  }

  /** A directive, without its %% or I:. Those for the look of the page are passed over. */
  directive(text: string, place: FilePlace): void {
    const { word, value } = splitDirective(text);
    switch (word) {
      case 'fettle-instrument':
        this.setInstrument(value, place);
        break;
      case 'score':
      case 'staves':
        this.score = value;
        break;
      case 'propagate-accidentals':
        if (value === 'not' || value === 'octave' || value === 'pitch') this.propagation = value;
        else this.issues.warn('abc.directive', `Not understood: propagate-accidentals "${value}"`, place);
        break;
      case 'setbarnb':
        this.firstBarNumber = readBarNumber(value, place, this.issues);
        break;
      case 'decoration':
        this.plusDecorations = value === '+';
        break;
      case 'MIDI':
        if (!/^transpose\b/.test(value)) break;
        this.issues.warn(
          'abc.directive',
          '%%MIDI transpose is left out: write transpose= in K: or V:',
          place,
        );
        break;
      default:
    }
  }

  setInstrument(value: string, place: FilePlace): void {
    if (!isInstrumentName(value)) {
      const message = `The instrument "${value}" is not known; known are ${INSTRUMENT_NAMES.join(', ')}`;
      this.issues.warn('abc.instrument', message, place);
    } else if (this.lastVoice === undefined) this.instrument = value;
    else this.voice(this.lastVoice).instrument = value;
  }

  private voice(id: string): VoiceHeader {
    const known = this.voices.get(id);
    if (known) return known;
    const header: VoiceHeader = { words: {} };
    this.voices.set(id, header);
    return header;
  }
}

export function splitDirective(text: string): { word: string; value: string } {
  const [word = '', ...others] = text.trim().split(/\s+/);
  return { word, value: others.join(' ') };
}

/** The number that %%setbarnb gives to the next bar. */
export function readBarNumber(value: string, place: FilePlace, issues: IssueList): number | undefined {
  if (/^\d{1,5}$/.test(value)) return Number(value);
  issues.warn('abc.directive', `Not understood: setbarnb "${value}"`, place);
  return undefined;
}

export function warnOfMacro(text: string, place: FilePlace, issues: IssueList): void {
  issues.warn('abc.macro', `Macros are not played out: "${text}" is left as written`, place);
}

/** A comment begins at % and ends with the line; \% is a percent sign. */
export function withoutComment(text: string): string {
  const at = text.search(/(?<!\\)%/);
  return at < 0 ? text : text.slice(0, at);
}

/** Backslashed signs of ABC text strings (2.1, section 8.2) that stand for themselves. */
export function plainText(text: string): string {
  return text.replace(/\\([%&\\])/g, '$1').trim();
}
