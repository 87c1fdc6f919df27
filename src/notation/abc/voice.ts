// One voice of an ABC tune while it is read: where it is in its bar and what holds through the bar. Lengths are exact fractions of ticks held as numbers and rounded to whole ticks at each note, so
// that a tuplet that does not divide the tick grid still ends where it should.

import type { Meter } from '../../music/meter.ts';
import type { StaffClef } from '../../music/passage.ts';
import { type Spelling, spellingToPitch } from '../../music/pitch.ts';
import type { BarRoute } from '../draft/playing-order.ts';
import { type DraftBar, type DraftNote, FERMATA_OVER_REST } from '../draft/score.ts';
import type { FilePlace, IssueList } from '../reading.ts';
import { AbcAccidentals, type TypedNote } from './accidentals.ts';
import { type BarLine, FINAL_LINE, THIN_LINE } from './bar-line.ts';
import { WaitingMarks } from './decorations.ts';
import { readKey } from './fields.ts';
import { VoiceBars } from './voice-bars.ts';

/** The last note, chord or rest: ties, slurs and broken rhythm still reach back to it. */
interface LastEvent {
  readonly notes: DraftNote[];
  readonly start: number;
  duration: number;
  readonly typed: readonly Spelling[];
}

export class AbcVoice {
  unitTicks: number;
  transposition = 0;
  /** As the tune says it; the first that is said counts. */
  clef: StaffClef['clef'] | undefined;
  readonly accidentals = new AbcAccidentals();
  /** Decorations that wait for their note. */
  readonly marks = new WaitingMarks();
  unpitched = false;
  /** Multiplies the next note's length, from a broken rhythm before it. */
  brokenNext = 1;
  tuplet: { factor: number; left: number } | undefined;
  private position = 0;
  private longest = 0;
  private overlay = 0;
  private last: LastEvent | undefined;
  private slurDepth = 0;
  private readonly own: VoiceBars;
  readonly part: number;
  readonly staff: number;
  private readonly rank: number;
  private readonly issues: IssueList;

  constructor(
    seat: { readonly part: number; readonly staff: number; readonly rank: number },
    start: { readonly meter: Meter | 'free'; readonly unitTicks: number },
    issues: IssueList,
  ) {
    this.part = seat.part;
    this.staff = seat.staff;
    this.rank = seat.rank;
    this.issues = issues;
    this.unitTicks = start.unitTicks;
    this.own = new VoiceBars(start.meter, issues);
  }

  get bars(): readonly DraftBar[] {
    return this.own.filled;
  }

  get sections(): VoiceBars['sections'] {
    return this.own.sections;
  }

  private get current(): DraftBar {
    return this.own.current;
  }

  private get empty(): boolean {
    return this.longest === 0 && this.position === 0 && this.current.notes.length === 0;
  }

  /** Whether a bar is begun: a field that belongs at a bar's start would come too late. */
  get insideBar(): boolean {
    return !this.empty;
  }

  setKey(text: string, place: FilePlace): void {
    const key = readKey(text);
    for (const word of key.unknown) {
      this.issues.warn('abc.key', `Not understood in the key: "${word}"`, place);
    }
    if (key.signature) {
      const { fifths, mode, alters } = key.signature;
      this.accidentals.setKey(alters);
      this.current.keys.push({ offset: Math.round(this.position), fifths, mode });
    }
    this.setStaff(key.staffWords);
  }

  setStaff(words: ReturnType<typeof readKey>['staffWords']): void {
    if (words.octave !== undefined || words.clefOctaves !== undefined) {
      this.accidentals.octaves = (words.octave ?? 0) + (words.clefOctaves ?? 0);
    }
    if (words.transpose !== undefined) this.transposition = words.transpose;
    if (words.clef) this.unpitched = words.clef === 'perc';
    if (words.clef === 'bass' || words.clef === 'treble') this.clef ??= words.clef;
  }

  setMeter(meter: Meter | 'free', place: FilePlace): void {
    this.own.setMeter(meter, this.insideBar, place);
  }

  addTempo(tempo: { readonly bpm: number; readonly beatTicks: number }): void {
    this.current.tempos.push({ offset: Math.round(this.position), tempo });
  }

  beginSection(label: string): void {
    this.own.beginSection(label, Math.round(this.position), this.insideBar);
  }

  setBarNumber(number: number): void {
    this.current.number = number;
  }

  setPickup(pickup: boolean): void {
    this.current.pickup = pickup;
  }

  addRoute(route: BarRoute): void {
    this.own.addRoute(route, this.insideBar);
  }

  openSlur(): void {
    this.slurDepth += 1;
  }

  closeSlur(place: FilePlace): void {
    if (this.slurDepth === 0) {
      this.issues.warn('abc.slur', 'A slur is closed that was never opened', place);
      return;
    }
    this.slurDepth -= 1;
    for (const note of this.last?.notes ?? []) note.slurred = this.slurDepth > 0;
  }

  get slursOpen(): number {
    return this.slurDepth;
  }

  /** Ties the last note, all notes of the last chord, or the one note at `index` in it. */
  tie(place: FilePlace, index?: number): void {
    const notes = this.last?.notes ?? [];
    const chosen = index === undefined ? notes : notes.slice(index, index + 1);
    if (chosen.length === 0) this.issues.warn('abc.tie', 'A tie follows no note: it is left out', place);
    for (const note of chosen) note.tied = true;
    if (this.last) this.accidentals.expectTied(this.last.typed.filter((_, i) => notes[i]?.tied));
  }

  /** Adds a grace note before the next note. */
  addGrace(typed: TypedNote): void {
    const spelling = this.accidentals.resolve(typed);
    const pitch = this.sounding(spelling, typed.place);
    if (pitch === undefined) return;
    this.current.notes.push({
      offset: Math.round(this.position),
      durationTicks: 0,
      pitch,
      spelling,
      part: this.part,
      staff: this.staff,
      voice: this.voiceRank,
      ornament: 'grace',
      place: typed.place,
    });
  }

  /** Adds a note or a chord; `lengths` in unit lengths, one for each note; the first moves the voice on. */
  addNotes(typed: readonly TypedNote[], lengths: readonly number[]): void {
    const factor = this.takeFactor();
    const start = this.position;
    const offset = Math.round(start);
    const spellings = typed.map((note) => this.accidentals.resolve(note));
    const { ornament, articulations } = this.marks.take();
    const notes: DraftNote[] = [];
    const kept: Spelling[] = [];
    // A trill over a chord is the highest note's (common practice, no source).
    const highest = spellings.reduce(
      (best, s, i) => (spellingToPitch(s) > spellingToPitch(spellings[best]!) ? i : best),
      0,
    );
    typed.forEach((note, i) => {
      const spelling = spellings[i]!;
      const pitch = this.sounding(spelling, note.place);
      if (pitch === undefined) return;
      kept.push(spelling);
      notes.push({
        offset,
        durationTicks: Math.round(start + lengths[i]! * this.unitTicks * factor) - offset,
        pitch,
        spelling,
        part: this.part,
        staff: this.staff,
        voice: this.voiceRank,
        ...(ornament && i === highest && { ornament }),
        ...(articulations.length > 0 && { articulations }),
        ...(this.slurDepth > 0 && { slurred: true }),
        place: note.place,
      });
    });
    this.current.notes.push(...notes);
    this.current.place ??= typed[0]!.place;
    this.accidentals.endTies();
    this.last = { notes, start, duration: lengths[0]! * this.unitTicks * factor, typed: kept };
    this.moveTo(start + this.last.duration);
  }

  addRest(length: number, place: FilePlace): void {
    const start = this.position;
    const duration = length * this.unitTicks * this.takeFactor();
    this.last = { notes: [], start, duration, typed: [] };
    this.accidentals.endTies();
    if (this.marks.takeFermata()) {
      this.issues.warn('fermata.rest', FERMATA_OVER_REST, place);
    }
    this.marks.take();
    this.moveTo(start + duration);
  }

  /** Broken rhythm: the last note or rest takes `before` of its length, the next takes `after`. */
  breakRhythm(before: number, after: number, place: FilePlace): void {
    if (!this.last || this.position === 0) {
      this.issues.warn('abc.broken-rhythm', 'A broken rhythm has no note before it in its bar', place);
      return;
    }
    const { last } = this;
    last.duration *= before;
    const end = Math.round(last.start + last.duration);
    for (const note of last.notes) note.durationTicks = end - note.offset;
    this.longest = this.overlayLongest;
    this.moveTo(last.start + last.duration);
    this.brokenNext = after;
  }

  private overlayLongest = 0;

  private moveTo(position: number): void {
    this.position = position;
    this.longest = Math.max(this.overlayLongest, position);
  }

  private takeFactor(): number {
    let factor = this.brokenNext;
    this.brokenNext = 1;
    if (this.tuplet && this.tuplet.left > 0) {
      factor *= this.tuplet.factor;
      this.tuplet.left -= 1;
    }
    return factor;
  }

  private get voiceRank(): number {
    return this.rank * 16 + this.overlay;
  }

  private sounding(spelling: Spelling, place: FilePlace): number | undefined {
    if (this.unpitched) {
      this.issues.warnOnce('abc.unpitched', 'Percussion is left out: its notes have no pitch', place);
      return undefined;
    }
    const pitch = spellingToPitch(spelling) + this.transposition;
    if (pitch >= 0 && pitch <= 127) return pitch;
    this.issues.error('abc.pitch', 'Cannot read this note: it lies outside the MIDI range', place);
    return undefined;
  }

  /** `&`: another voice from the start of the same bar. */
  beginOverlay(place: FilePlace): void {
    this.overlayLongest = Math.max(this.overlayLongest, this.position);
    this.position = 0;
    this.last = undefined;
    this.overlay += 1;
    if (this.overlay > 15)
      this.issues.error('abc.overlay', 'Cannot read more than 15 overlays in a bar', place);
  }

  /** Z4: whole bars of rest. */
  addBarsOfRest(count: number, place: FilePlace): void {
    if (this.insideBar) {
      this.issues.warn('abc.rest-inside', 'A rest of whole bars stands inside a bar', place);
      this.addRest((count * this.own.wholeTicks) / this.unitTicks, place);
      return;
    }
    for (let i = 0; i < count; i += 1) {
      this.last = { notes: [], start: 0, duration: 0, typed: [] };
      this.moveTo(this.own.wholeTicks);
      if (i < count - 1) this.closeBar(THIN_LINE);
    }
  }

  closeBar(line: BarLine): void {
    const lengthTicks = Math.round(this.longest);
    if (line.faint && this.insideBar && lengthTicks < this.own.wholeTicks) return;
    if (this.tuplet) this.tuplet = undefined;
    this.brokenNext = 1;
    this.own.close(line, this.insideBar ? lengthTicks : undefined);
    this.position = 0;
    this.longest = 0;
    this.overlayLongest = 0;
    this.overlay = 0;
    this.accidentals.endBar();
  }

  /** Ends the voice: the last bar may lack its bar line. */
  finish(): void {
    if (!this.empty) this.closeBar(FINAL_LINE);
    if (this.slurDepth > 0) {
      this.issues.warn('abc.slur', 'A slur is never closed: it is taken to the end of the voice');
    }
  }
}
