// The MusicXML reader: score-partwise of MusicXML 4.0 and older (w3c.github.io/musicxml), as plain text. saxes parses,
// the meaning is ours: no library gives onsets, lengths, written and sounding pitch, ties and repeats together.

import { INSTRUMENT_NAMES, INSTRUMENTS } from '../../music/instrument.ts';
import { chooseInstrument, instrumentNamed } from '../choice/instrument.ts';
import { buildPassage } from '../draft/passage-builder.ts';
import { type DraftBar, type DraftScore, MOST_PARTS } from '../draft/score.ts';
import { type FileReading, IssueList, LARGEST_FILE_BYTES, unreadable } from '../reading.ts';
import { MusicXmlPart } from './part.ts';
import { settleCodas } from './route.ts';
import {
  child,
  childrenNamed,
  childText,
  placeOf,
  readXml,
  type XmlElement,
  XmlTrouble,
} from './xml-tree.ts';

export interface MusicXmlOptions {
  /** Number from 1, id or name of the one part to read; all parts without it. */
  readonly part?: string | number;
  /** The one voice to read, by the file's own number. */
  readonly voice?: number;
}

/** Reads a score. `name` is the passage's name, as the player gave it. */
export function readMusicXml(text: string, name: string, options: MusicXmlOptions = {}): FileReading {
  if (text.length > LARGEST_FILE_BYTES) {
    return unreadable(
      'file.too-large',
      `Cannot read ${name}: more than ${LARGEST_FILE_BYTES} characters of MusicXML`,
    );
  }
  const issues = new IssueList();
  const score = new ScoreReader(options, issues);
  try {
    readXml(withoutLateDeclaration(text, issues), {
      whole: new Set(['measure', 'part-list', 'work', 'identification', 'credit', 'movement-title']),
      open: (element) => score.open(element),
      close: (element) => score.close(element),
    });
  } catch (error) {
    if (!(error instanceof XmlTrouble)) throw error;
    issues.error('musicxml.xml', `Cannot read ${name}: ${error.message}`, error.place);
  }
  if (issues.failed) return { issues: issues.list(), noteCount: 0 };
  const draft = score.finish(name);
  return draft ? buildPassage(draft, name, issues) : { issues: issues.list(), noteCount: 0 };
}

/**
 * Only white space before an XML declaration keeps a file from being XML: it is told, and the declaration, whose work
 * is done once there is text, gives way to spaces, so that all places stay.
 */
function withoutLateDeclaration(text: string, issues: IssueList): string {
  const late = /^\s+<\?xml\s[^>]*\?>/.exec(text)?.[0];
  if (late === undefined) return text;
  const message = 'There is white space before the XML declaration: the declaration is passed over';
  issues.warn('musicxml.first-line', message, { line: 1, column: 1 });
  return late.replace(/[^\r\n]/g, ' ') + text.slice(late.length);
}

interface PartName {
  readonly id: string;
  readonly name: string;
  readonly instrument: string;
}

class ScoreReader {
  private title = '';
  private movement = '';
  private credit = '';
  private composer = '';
  private partNames: PartName[] = [];
  private readonly bars: DraftBar[] = [];
  private readonly read: { readonly name: PartName; readonly part: MusicXmlPart; measures: number }[] = [];
  private current: MusicXmlPart | undefined;
  private measure = 0;
  private rooted = false;
  private partsSeen = 0;

  private readonly options: MusicXmlOptions;
  private readonly issues: IssueList;

  constructor(options: MusicXmlOptions, issues: IssueList) {
    this.options = options;
    this.issues = issues;
  }

  open(element: XmlElement): void {
    if (!this.rooted) this.root(element);
    else if (element.name === 'part') this.beginPart(element);
  }

  private root(element: XmlElement): void {
    this.rooted = true;
    if (element.name === 'score-partwise') return;
    const timewise = element.name === 'score-timewise';
    const message = timewise
      ? 'it is score-timewise, and only score-partwise is read here; export it again as partwise'
      : `its first element is <${element.name}>, MusicXML begins with <score-partwise>`;
    throw new XmlTrouble(message, placeOf(element));
  }

  close(element: XmlElement): void {
    switch (element.name) {
      case 'measure':
        this.readMeasure(element);
        break;
      case 'part':
        this.endPart();
        break;
      case 'part-list':
        this.partNames = childrenNamed(element, 'score-part').map(partName);
        break;
      case 'work':
        this.title = childText(element, 'work-title') ?? '';
        break;
      case 'movement-title':
        this.movement = element.text.trim();
        break;
      case 'identification':
        this.composer =
          childrenNamed(element, 'creator')
            .find((c) => c.attributes.type === 'composer')
            ?.text.trim() ?? '';
        break;
      case 'credit':
        if (childText(element, 'credit-type') === 'title')
          this.credit ||= childText(element, 'credit-words') ?? '';
        break;
      default:
    }
  }

  private beginPart(element: XmlElement): void {
    this.partsSeen += 1;
    this.measure = 0;
    if (this.partsSeen > MOST_PARTS) {
      throw new XmlTrouble(`it has more than ${MOST_PARTS} parts`, placeOf(element));
    }
    const id = element.attributes.id ?? '';
    const name = this.partNames.find((p) => p.id === id) ?? { id, name: '', instrument: '' };
    if (!this.isWanted(name)) return;
    const leads = this.read.length === 0;
    const wantedVoice = this.options.voice === undefined ? undefined : String(this.options.voice);
    const part = new MusicXmlPart(this.read.length, { leads, wantedVoice }, this.issues);
    this.current = part;
    this.read.push({ name, part, measures: 0 });
  }

  private isWanted({ id, name }: PartName): boolean {
    const { part } = this.options;
    if (part === undefined) return true;
    const wanted = String(part).trim().toLowerCase();
    return wanted === String(this.partsSeen) || wanted === id.toLowerCase() || wanted === name.toLowerCase();
  }

  private readMeasure(element: XmlElement): void {
    if (!this.current || this.issues.failed) return;
    const existing = this.bars[this.measure];
    if (!existing && this.read.length > 1) {
      this.issues.warnOnce(
        'musicxml.measures',
        'A part has more measures than the first: they are left out',
        placeOf(element),
      );
      return;
    }
    this.bars[this.measure] = this.current.readMeasure(element, existing);
    this.measure += 1;
    this.read.at(-1)!.measures = this.measure;
  }

  private endPart(): void {
    this.current?.finish();
    this.current = undefined;
  }

  finish(name: string): DraftScore | undefined {
    const { issues } = this;
    if (this.read.length === 0) {
      const names = this.partNames.map((p, i) => `${i + 1} ${p.name}`.trim()).join(', ');
      const message =
        this.options.part === undefined
          ? `Cannot read ${name}: it has no part`
          : `Cannot find part "${this.options.part}" in ${name}: it has ${names || 'none'}`;
      issues.error(this.options.part === undefined ? 'musicxml.no-part' : 'musicxml.part', message);
      return undefined;
    }
    if (this.read.some(({ measures }) => measures !== this.bars.length)) {
      issues.warn(
        'musicxml.measures',
        'The parts have different numbers of measures: the shorter are silent to the end',
      );
    }
    settleCodas(this.bars);
    return {
      title: this.title || this.movement || this.credit || 'Untitled',
      ...(this.composer !== '' && { composer: this.composer }),
      parts: this.read.map(({ name: partName, part }) => this.part(partName, part)),
      bars: this.bars,
    };
  }

  private part(name: PartName, part: MusicXmlPart): DraftScore['parts'][number] {
    const exact = INSTRUMENT_NAMES.some((i) => INSTRUMENTS[i].name === name.instrument);
    const partNameCounts = !exact && (instrumentNamed(name.name) !== undefined || name.instrument === '');
    const called = partNameCounts ? name.name : name.instrument;
    const { instrument, doubt } = chooseInstrument(called, part.transposition);
    if (doubt) this.issues.warn('instrument.doubt', `Instrument in doubt: ${doubt}`);
    return { name: name.name || called || `part ${name.id}`, instrument };
  }
}

function partName(element: XmlElement): PartName {
  const instrument = child(element, 'score-instrument');
  return {
    id: element.attributes.id ?? '',
    name: childText(element, 'part-name') ?? '',
    instrument: (instrument && childText(instrument, 'instrument-name')) ?? '',
  };
}
