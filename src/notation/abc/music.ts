// A line of ABC music: notes, chords, rests, grace notes, tuplets, bar lines and inline fields, in any order that
// ABC 2.1 (section 4.20) allows. What is not understood is told with its line and column; what would make the rest
// guesswork (a chord or a brace that never closes) is an error.

import { FERMATA_OVER_BAR_LINE } from '../draft/score.ts';
import { warnOfTempoWords } from '../draft/tempo-words.ts';
import type { FilePlace, IssueList } from '../reading.ts';
import type { TypedNote } from './accidentals.ts';
import { readBarLine } from './bar-line.ts';
import { decorationNamed, SHORT_SIGNS } from './decorations.ts';
import { readLength, readNote, readRest } from './note-text.ts';
import type { AbcVoice } from './voice.ts';

/** What a line of music needs from its tune. */
export interface AbcContext {
  readonly issues: IssueList;
  voice: AbcVoice;
  /** Meter with a dotted beat: tuplets of 5, 7 and 9 take the time of 3. */
  compound: boolean;
  /** Signs that U: has redefined; an empty name means "no meaning". */
  readonly signs: Map<string, string>;
  /** `+trill+` instead of `!trill!` (ABC 2.0). */
  plusDecorations: boolean;
  /** Field in square brackets, without the brackets. */
  inlineField(letter: string, text: string, place: FilePlace): void;
}

const TUPLET = /\(([2-9])(?::([0-9]*))?(?::([0-9]*))?/y;
/** "p notes in the time of q" (ABC 2.1, 4.13); 5, 7 and 9 take the time of 2, of 3 in compound meter. */
const TUPLET_TIME: Readonly<Record<number, number>> = { 2: 3, 3: 2, 4: 3, 6: 2, 8: 3 };
/** What an ABC 1 chord between plus signs may hold: two notes or more, with their lengths. */
const PLUS_CHORD = /\+((?:[_^=]*[A-Ga-gz][,']*[0-9/]*-?){2,32})\+/y;
const MOST_BARS_OF_REST = 1000;

export function readMusicLine(text: string, line: number, context: AbcContext): void {
  new MusicLine(text, line, context).read();
}

class MusicLine {
  private at = 0;
  private readonly text: string;
  private readonly line: number;
  private readonly context: AbcContext;
  private readonly issues: IssueList;

  constructor(text: string, line: number, context: AbcContext) {
    this.text = text;
    this.line = line;
    this.context = context;
    this.issues = context.issues;
  }

  read(): void {
    while (this.at < this.text.length && !this.issues.failed) {
      if (this.note() || this.rest() || this.field() || this.barLine() || this.tuplet()) continue;
      if (this.plusChord() || this.sign() || this.decoration()) continue;
      this.issues.warn('abc.unknown', `Not understood and left out: "${this.text[this.at]}"`, this.place());
      this.at += 1;
    }
  }

  private place(at = this.at): FilePlace {
    return { line: this.line, column: at + 1 };
  }

  private get voice(): AbcVoice {
    return this.context.voice;
  }

  private note(): boolean {
    const read = readNote(this.text, this.at, this.place(), this.issues);
    if (!read) return false;
    this.voice.addNotes([read.note], [read.length]);
    this.at = read.end;
    return true;
  }

  private rest(): boolean {
    const read = readRest(this.text, this.at, this.place(), this.issues);
    if (!read) return false;
    const { sign, length, end } = read;
    if (sign === 'z' || sign === 'x') this.voice.addRest(length, this.place());
    else if (sign !== 'y') {
      if (Number.isInteger(length) && length <= MOST_BARS_OF_REST)
        this.voice.addBarsOfRest(length, this.place());
      else {
        const message = `Cannot read ${this.text.slice(this.at, end)}: bars of rest are 1 to ${MOST_BARS_OF_REST}`;
        this.issues.error('abc.length', message, this.place());
      }
    }
    this.at = end;
    return true;
  }

  private field(): boolean {
    const ahead = this.text[this.at] === '[' ? this.text.slice(this.at, this.at + 400) : '';
    const field = /^\[([A-Za-z]):([^\]]*)(\]?)/.exec(ahead);
    if (!field) return false;
    if (field[3] === '') {
      this.issues.error('abc.field', 'Cannot read the field: it is never closed with "]"', this.place());
    } else this.context.inlineField(field[1]!, field[2]!.trim(), this.place());
    this.at += field[0].length;
    return true;
  }

  private barLine(): boolean {
    const bar = /[|:[.]/.test(this.text[this.at]!) ? readBarLine(this.text, this.at) : undefined;
    if (!bar) return false;
    if (this.voice.marks.takeFermata()) {
      this.issues.warn('fermata.bar-line', FERMATA_OVER_BAR_LINE, this.place());
    }
    this.voice.closeBar(bar);
    this.at += bar.length;
    return true;
  }

  private tuplet(): boolean {
    TUPLET.lastIndex = this.at;
    const m = TUPLET.exec(this.text);
    if (!m) return false;
    const p = Number(m[1]);
    const q = m[2] ? Number(m[2]) : (TUPLET_TIME[p] ?? (this.context.compound ? 3 : 2));
    const r = m[3] ? Number(m[3]) : p;
    if (q < 1 || q > 64 || r < 1 || r > 256) {
      this.issues.error('abc.tuplet', `Cannot read the tuplet "${m[0]}"`, this.place());
    } else this.voice.tuplet = { factor: q / p, left: r };
    this.at += m[0].length;
    return true;
  }

  /** Everything that is told by one sign. */
  private sign(): boolean {
    const c = this.text[this.at]!;
    const dotted = c === '.' && /[(-]/.test(this.text[this.at + 1] ?? '');
    switch (dotted ? this.text[this.at + 1] : c) {
      case '[':
        this.chord(']');
        return true;
      case '{':
        this.graceNotes();
        return true;
      case '"':
        this.skipQuoted();
        return true;
      case '>':
      case '<':
        this.brokenRhythm(c);
        return true;
      case '(':
        this.voice.openSlur();
        break;
      case ')':
        this.voice.closeSlur(this.place());
        break;
      case '-':
        this.voice.tie(this.place());
        break;
      case '&':
        this.voice.beginOverlay(this.place());
        break;
      // Spaces, beams, line breaks and the signs of older versions for them say nothing about what is played.
      case '`':
      case '$':
      case '\\':
      case '*':
        break;
      default:
        if (!/\s/.test(c)) return false;
    }
    this.at += dotted ? 2 : 1;
    return true;
  }

  private brokenRhythm(c: string): void {
    const signs = /^(>+|<+)/.exec(this.text.slice(this.at, this.at + 8))![0];
    const short = 1 / 2 ** signs.length;
    const [before, after] = c === '>' ? [2 - short, short] : [short, 2 - short];
    this.voice.breakRhythm(before, after, this.place());
    this.at += signs.length;
  }

  /** Chord symbols and annotations. */
  private skipQuoted(): void {
    const end = this.text.indexOf('"', this.at + 1);
    if (end < 0) {
      this.issues.error('abc.quote', 'Cannot read on: a quotation mark is never closed', this.place());
    } else if (/[_^<>@]/.test(this.text[this.at + 1]!)) {
      warnOfTempoWords(this.text.slice(this.at + 2, end), this.place(), this.issues);
    }
    this.at = end < 0 ? this.text.length : end + 1;
  }

  /** `+CEG+`, as ABC 1 wrote chords; other words between plus signs are decorations. */
  private plusChord(): boolean {
    if (this.text[this.at] !== '+' || this.context.plusDecorations) return false;
    PLUS_CHORD.lastIndex = this.at;
    const m = PLUS_CHORD.exec(this.text);
    if (m && !decorationNamed(m[1]!)) {
      this.issues.warnOnce('abc.plus-chord', `"${m[0]}" is read as a chord of ABC 1`, this.place());
      this.chord('+');
      return true;
    }
    const name = /^\+([^+|\s]{1,30})\+/.exec(this.text.slice(this.at, this.at + 32));
    if (!name || !decorationNamed(name[1]!)) return false;
    this.decorate(name[1]!);
    this.at += name[0].length;
    return true;
  }

  private chord(close: ']' | '+'): void {
    const from = this.at;
    this.at += 1;
    const notes: TypedNote[] = [];
    const lengths: number[] = [];
    const ties: number[] = [];
    let restLength: number | undefined;
    while (this.at < this.text.length && this.text[this.at] !== close) {
      const note = readNote(this.text, this.at, this.place(), this.issues);
      const rest = note ? undefined : readRest(this.text, this.at, this.place(), this.issues);
      if (note) {
        notes.push(note.note);
        lengths.push(note.length);
        this.at = note.end;
      } else if (rest) {
        restLength ??= rest.length;
        this.issues.warn('abc.chord-rest', 'A rest in a chord is left out', this.place());
        this.at = rest.end;
      } else if (this.text[this.at] === '-') {
        if (notes.length > 0) ties.push(notes.length - 1);
        this.at += 1;
      } else this.inChord();
    }
    if (this.at >= this.text.length) {
      const message = `Cannot read the chord: it is never closed with "${close}"`;
      this.issues.error('abc.chord', message, this.place(from));
      return;
    }
    const outer = readLength(this.text, this.at + 1, this.place(), this.issues);
    this.at = outer.end;
    if (notes.length === 0) {
      if (restLength !== undefined) this.voice.addRest(restLength * outer.length, this.place(from));
      else this.issues.warn('abc.chord', 'A chord without notes is left out', this.place(from));
      return;
    }
    this.voice.addNotes(
      notes,
      lengths.map((length) => length * outer.length),
    );
    for (const index of ties) this.voice.tie(this.place(from), index);
  }

  /** What may stand in a chord beside its notes. */
  private inChord(): void {
    const c = this.text[this.at]!;
    if (c === '"') this.skipQuoted();
    else if (!this.slurSign() && !this.decoration()) {
      if (!/[\s.]/.test(c)) {
        this.issues.warn('abc.chord', `Not understood in a chord and left out: "${c}"`, this.place());
      }
      this.at += 1;
    }
  }

  private slurSign(): boolean {
    const c = this.text[this.at];
    if (c !== '(' && c !== ')') return false;
    if (c === '(') this.voice.openSlur();
    else this.voice.closeSlur(this.place());
    this.at += 1;
    return true;
  }

  private graceNotes(): void {
    const end = this.text.indexOf('}', this.at);
    if (end < 0) {
      const message = 'Cannot read the grace notes: they are never closed with "}"';
      this.issues.error('abc.grace', message, this.place());
      this.at = this.text.length;
      return;
    }
    this.at += 1;
    while (this.at < end) {
      const read = readNote(this.text, this.at, this.place(), this.issues);
      if (read) {
        this.voice.addGrace(read.note);
        this.at = read.end;
      } else if (!this.slurSign()) {
        const c = this.text[this.at]!;
        if (!/[\s/[\]<>.\-0-9]/.test(c)) {
          this.issues.warn('abc.grace', `Not understood among grace notes: "${c}"`, this.place());
        }
        this.at += 1;
      }
    }
    this.at = end + 1;
  }

  /** A decoration, long or short; false where there is none. */
  private decoration(): boolean {
    const c = this.text[this.at]!;
    if (c === '!' || (c === '+' && this.context.plusDecorations)) {
      const end = this.text.indexOf(c, this.at + 1);
      if (end < 0 || end - this.at > 30 || /[|\s]/.test(this.text.slice(this.at + 1, end))) {
        this.issues.warn('abc.decoration', `A "${c}" is left out: it opens no decoration`, this.place());
        this.at += 1;
      } else {
        this.decorate(this.text.slice(this.at + 1, end));
        this.at = end + 1;
      }
      return true;
    }
    const name = /[.~H-Wh-w]/.test(c) ? (this.context.signs.get(c) ?? SHORT_SIGNS[c]) : undefined;
    if (name === undefined) return false;
    this.decorate(name);
    this.at += 1;
    return true;
  }

  private decorate(name: string): void {
    if (name === '') return;
    const found = decorationNamed(name);
    if (!found) {
      const message = `The decoration "${name}" is not known: it is left out`;
      this.issues.warn('abc.decoration', message, this.place());
    } else if (found.kind === 'left-out') {
      this.issues.warnOnce(`abc.${found.name}`, found.sentence, this.place());
    } else if (found.kind === 'route') this.voice.addRoute(found.route);
    else this.voice.marks.add(found);
  }
}
