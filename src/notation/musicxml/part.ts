// One part of a MusicXML score, measure by measure: the cursor that notes, <backup> and <forward> move, and everything
// that holds from measure to measure.

import { barTicks, type Meter } from '../../music/meter.ts';
import { spellingToPitch } from '../../music/pitch.ts';
import { TICKS_PER_QUARTER } from '../../music/ticks.ts';
import type { BarRoute } from '../draft/playing-order.ts';
import { type DraftBar, type DraftNote, emptyBar, FERMATA_OVER_REST } from '../draft/score.ts';
import { warnOfTempoWords } from '../draft/tempo-words.ts';
import type { IssueList } from '../reading.ts';
import { readKey, readTempo, readTime, readTranspose } from './attributes.ts';
import { readLength, readMarks, readSpelling, startsTie } from './note.ts';
import { directionRoute, EndingState, soundRoute } from './route.ts';
import { SlurMarks } from './slur-marks.ts';
import { child, childNumber, childrenNamed, childText, placeOf, type XmlElement } from './xml-tree.ts';

/** Notes struck together, while <chord/> may still add to them. */
interface Chord {
  readonly notes: DraftNote[];
  readonly start: number;
}

export class MusicXmlPart {
  readonly transpositions = new Map<string, number>();
  cueNotes = 0;
  private ticksPerDivision = TICKS_PER_QUARTER;
  private meter: Meter = { count: 4, unit: 4 };
  private free = false;
  private readonly slurs = new SlurMarks();
  private readonly endings = new EndingState();
  private readonly voiceNumbers = new Map<string, number>();
  /** A measure that says that it is one: there a rest of a whole bar says nothing about its length. */
  private isPickup = false;
  /** Exact ticks from the start of the measure; rounded at each note. */
  private position = 0;
  private longest = 0;
  private chord: Chord | undefined;
  private bar: DraftBar = emptyBar({ count: 4, unit: 4 });

  private readonly part: number;
  /** The first part read gives meter, keys, bar numbers and repeats. */
  private readonly leads: boolean;
  private readonly wantedVoice: string | undefined;
  private readonly issues: IssueList;

  constructor(
    part: number,
    options: { readonly leads: boolean; readonly wantedVoice?: string | undefined },
    issues: IssueList,
  ) {
    this.part = part;
    this.leads = options.leads;
    this.wantedVoice = options.wantedVoice;
    this.issues = issues;
  }

  /** Semitones from written to sounding at the part's start. */
  get transposition(): number {
    return [...this.transpositions.values()][0] ?? 0;
  }

  /** Reads a measure into `bar`: a new one for the first part, the first part's bar for the others. */
  readMeasure(measure: XmlElement, existing: DraftBar | undefined): DraftBar {
    const bar = existing ?? emptyBar(this.meter, placeOf(measure));
    this.bar = bar;
    this.position = 0;
    this.longest = 0;
    this.chord = undefined;
    this.isPickup =
      !this.free && (measure.attributes.implicit === 'yes' || measure.attributes.number === '0');
    if (this.leads) this.beginBar(measure, bar);
    for (const element of measure.children) {
      if (this.issues.failed) return bar;
      this.element(element);
    }
    const length = Math.round(this.longest);
    if (!this.leads && length > 0 && bar.durationTicks > 0 && length > bar.durationTicks) {
      const message = 'A measure is longer in one part than in the first: the longest counts';
      this.issues.warn('bar.voices', message, placeOf(measure));
    }
    bar.durationTicks = Math.max(bar.durationTicks, length);
    if (this.leads) this.endBar(measure, bar);
    return bar;
  }

  finish(): void {
    this.slurs.finish();
    if (this.slurs.unpaired > 0) {
      this.issues.warnOnce('musicxml.slur', 'Some slurs start or stop nowhere: they are left out');
    }
  }

  private beginBar(measure: XmlElement, bar: DraftBar): void {
    const number = /^\d{1,5}/.exec(measure.attributes.number ?? '')?.[0];
    if (number !== undefined) bar.number = Number(number);
    bar.irregular = this.free || measure.attributes.implicit === 'yes';
  }

  private endBar(measure: XmlElement, bar: DraftBar): void {
    this.endings.apply(bar);
    const short = bar.durationTicks > 0 && bar.durationTicks < barTicks(bar.meter);
    if (measure.attributes.implicit === 'yes' && short && !this.free) bar.pickup = true;
  }

  private element(element: XmlElement): void {
    switch (element.name) {
      case 'note':
        this.note(element);
        break;
      case 'backup':
      case 'forward':
        this.move(element);
        break;
      case 'attributes':
        this.attributes(element);
        break;
      case 'direction':
        this.direction(element);
        break;
      case 'sound':
        this.sound(element, element, 0);
        break;
      case 'barline':
        if (this.leads) this.endings.barLine(element, this.bar, this.issues);
        break;
      default:
    }
  }

  private move(element: XmlElement): void {
    const duration = childNumber(element, 'duration');
    if (duration === undefined || !(duration >= 0)) {
      this.issues.error(
        'musicxml.duration',
        `Cannot read the duration of a <${element.name}>`,
        placeOf(element),
      );
      return;
    }
    this.chord = undefined;
    const ticks = duration * this.ticksPerDivision;
    const target = element.name === 'forward' ? this.position + ticks : this.position - ticks;
    if (target < -this.ticksPerDivision) {
      this.issues.warn(
        'musicxml.backup',
        'A <backup> leads before its measure: taken to its start',
        placeOf(element),
      );
    }
    // Tuplets that do not divide the divisions leave the cursor a fraction beside the measure's start.
    this.moveTo(target < this.ticksPerDivision / 2 ? 0 : target, element);
  }

  private moveTo(position: number, element: XmlElement): void {
    this.position = position;
    this.longest = Math.max(this.longest, position);
    if (position > 100 * 4 * TICKS_PER_QUARTER) {
      this.issues.error(
        'musicxml.measure',
        'Cannot read a measure longer than 100 whole notes',
        placeOf(element),
      );
    }
  }

  private attributes(element: XmlElement): void {
    const divisions = childNumber(element, 'divisions');
    if (divisions !== undefined) {
      if (!(divisions > 0) || divisions > 10_000_000) {
        this.issues.error(
          'musicxml.divisions',
          'Cannot read the divisions: a number over 0',
          placeOf(element),
        );
        return;
      }
      this.ticksPerDivision = TICKS_PER_QUARTER / divisions;
    }
    for (const time of childrenNamed(element, 'time').slice(0, 1)) this.time(time);
    for (const key of childrenNamed(element, 'key').slice(0, 1)) {
      const read = this.leads ? readKey(key, this.issues) : undefined;
      if (read) this.bar.keys.push({ offset: Math.round(this.position), ...read });
    }
    for (const transpose of childrenNamed(element, 'transpose')) {
      this.transpositions.set(transpose.attributes.number ?? 'all', readTranspose(transpose, this.issues));
    }
    for (const style of childrenNamed(element, 'measure-style')) {
      if (!child(style, 'measure-repeat') && !child(style, 'beat-repeat')) continue;
      const message = 'A repeat sign for single measures or beats is not played out';
      this.issues.warn('musicxml.measure-repeat', message, placeOf(style));
    }
  }

  private time(time: XmlElement): void {
    const meter = readTime(time, this.issues);
    if (meter === undefined) return;
    this.free = meter === 'free';
    if (meter !== 'free') this.meter = meter;
    if (this.leads) {
      if (this.position > 0) {
        const message = 'The meter changes inside a measure: it holds from the next one on';
        this.issues.warn('musicxml.time', message, placeOf(time));
        return;
      }
      this.bar.meter = this.meter;
      this.bar.irregular ||= this.free;
    } else if (barTicks(this.meter) !== barTicks(this.bar.meter)) {
      const message = 'The parts have different meters: the first one counts the bars';
      this.issues.warnOnce('musicxml.polymeter', message, placeOf(time));
    }
  }

  private direction(direction: XmlElement): void {
    const sound = child(direction, 'sound');
    const offset = (childNumber(direction, 'offset') ?? 0) * this.ticksPerDivision;
    for (const type of childrenNamed(direction, 'direction-type')) {
      for (const rehearsal of childrenNamed(type, 'rehearsal')) {
        const text = rehearsal.text.trim();
        if (this.leads && text !== '') this.bar.marks.push({ offset: this.offsetFrom(offset), text });
      }
    }
    this.sound(direction, sound, offset);
  }

  /** Tempo and jumps of a <direction>, or of a <sound> that stands by itself. */
  private sound(element: XmlElement, sound: XmlElement | undefined, offset: number): void {
    const tempo = readTempo(element, sound, this.meter, this.issues);
    if (tempo) this.bar.tempos.push({ offset: this.offsetFrom(offset), tempo });
    if (!this.leads) return;
    if (!tempo) {
      for (const type of childrenNamed(element, 'direction-type')) {
        for (const words of childrenNamed(type, 'words')) {
          warnOfTempoWords(words.text, placeOf(words), this.issues);
        }
      }
    }
    const said: BarRoute = sound ? soundRoute(sound) : {};
    const route = Object.keys(said).length > 0 ? said : directionRoute(element);
    this.bar.route = { ...this.bar.route, ...route };
  }

  private offsetFrom(offset: number): number {
    return Math.max(0, Math.round(this.position + offset));
  }

  private note(note: XmlElement): void {
    const grace = child(note, 'grace') !== undefined;
    const length = grace ? 0 : readLength(note, this.ticksPerDivision, this.issues);
    if (length === undefined) return;
    const joins = child(note, 'chord') !== undefined && this.chord !== undefined;
    if (!joins) {
      const start = this.position;
      this.chord = { notes: [], start };
      if (!grace) {
        if (isBarRest(note) && this.isPickup) this.position += length;
        else this.moveTo(start + length, note);
      }
    }
    const chord = this.chord!;
    if (child(note, 'cue')) {
      this.cueNotes += 1;
      this.issues.warnOnce('musicxml.cue', 'Cue notes are left out', placeOf(note));
      return;
    }
    if (child(note, 'rest')) {
      if (readMarks(note, this.issues).articulations.includes('fermata')) {
        this.issues.warn('fermata.rest', FERMATA_OVER_REST, placeOf(note));
      }
      return;
    }
    if (child(note, 'unpitched')) {
      const message = 'Percussion without pitch is left out: its notes cannot be judged';
      this.issues.warnOnce('musicxml.unpitched', message, placeOf(note));
      return;
    }
    const voice = childText(note, 'voice') ?? '1';
    if (this.wantedVoice !== undefined && voice !== this.wantedVoice) return;
    this.pitched(note, voice, chord, joins, length);
  }

  private pitched(note: XmlElement, voice: string, chord: Chord, joins: boolean, length: number): void {
    const spelling = readSpelling(note, this.issues);
    if (!spelling) return;
    const staff = childText(note, 'staff') ?? '1';
    const transposition = this.transpositions.get(staff) ?? this.transpositions.get('all') ?? 0;
    const pitch = spellingToPitch(spelling) + transposition;
    if (pitch < 0 || pitch > 127 || !/^\d{1,2}$/.test(staff)) {
      this.issues.error(
        'musicxml.pitch',
        'Cannot read a note: it lies outside the MIDI range',
        placeOf(note),
      );
      return;
    }
    const marks = readMarks(note, this.issues);
    const offset = Math.round(chord.start);
    const grace = child(note, 'grace') !== undefined;
    const draft: DraftNote = {
      offset,
      durationTicks: grace ? 0 : Math.round(chord.start + length) - offset,
      pitch,
      spelling,
      part: this.part,
      staff: Number(staff),
      voice: this.voiceNumber(voice),
      ...(grace ? { ornament: 'grace' } : marks.ornament && { ornament: marks.ornament }),
      ...(marks.articulations.length > 0 && !grace && { articulations: [...marks.articulations] }),
      ...(startsTie(note) && !grace && { tied: true }),
      place: placeOf(note),
    };
    chord.notes.push(draft);
    this.bar.notes.push(draft);
    if (grace) return;
    if (!joins) this.slurs.struck(voice, chord);
    for (const number of marks.slurStops) this.slurs.stop(voice, number);
    for (const number of marks.slurStarts) this.slurs.start(voice, number);
    if (joins) shareMarks(chord.notes);
  }

  /** Voices are told apart by their text, which is a number in nearly every file. */
  private voiceNumber(voice: string): number {
    const known = this.voiceNumbers.get(voice);
    if (known !== undefined) return known;
    const number = /^\d{1,3}$/.test(voice) ? Number(voice) : 1000 + this.voiceNumbers.size;
    this.voiceNumbers.set(voice, number);
    return number;
  }
}

function isBarRest(note: XmlElement): boolean {
  return child(note, 'rest')?.attributes.measure === 'yes';
}

/**
 * Marks of a chord are often written at one of its notes only: articulations and slurs hold for all of them, a trill
 * or its like for the highest (common practice, no source).
 */
function shareMarks(notes: DraftNote[]): void {
  const articulations = notes.find((n) => n.articulations)?.articulations;
  const ornament = notes.find((n) => n.ornament)?.ornament;
  const slurred = notes.some((n) => n.slurred);
  const highest = notes.reduce((a, b) => (b.pitch > a.pitch ? b : a));
  for (const note of notes) {
    if (articulations) note.articulations = articulations;
    if (slurred) note.slurred = true;
    delete note.ornament;
  }
  if (ornament) highest.ornament = ornament;
}
