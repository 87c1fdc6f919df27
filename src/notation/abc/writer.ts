// The ABC writer: a passage as ABC 2.1 text that reads back to the same passage. Repeats are written out as played;
// printed bar numbers that do not follow each other are given with setbarnb. Accidentals are written wherever a
// reader could doubt them, whether it carries them through all octaves (ABC 2.1) or through one (engraving).

import { INSTRUMENTS } from '../../music/instrument.ts';
import { type Bar, barTicks, beatsOfBar, isSameMeter, meterText } from '../../music/meter.ts';
import type { Articulation, Ornament } from '../../music/onset.ts';
import type { KeyChange, Mode, Passage } from '../../music/passage.ts';
import { keyAlter, LETTERS, type Letter, type Spelling } from '../../music/pitch.ts';
import type { Tempo } from '../../music/tempo.ts';
import { TICKS_PER_WHOLE } from '../../music/ticks.ts';
import { isTailByLength } from '../draft/bar-lengths.ts';
import { gcd } from '../written/tick-fractions.ts';
import { type TupletGroup, tupletGroups } from '../written/tuplet-groups.ts';
import {
  clefOf,
  markTicks,
  partFifths,
  partTransposition,
  type WrittenEvent,
  type WrittenVoice,
  writtenVoices,
} from '../written/voice.ts';

/** Unit length: an eighth. */
const UNIT_TICKS = TICKS_PER_WHOLE / 8;
const BARS_PER_LINE = 4;

const MODE_WORDS: Record<Mode, string> = {
  major: '',
  minor: 'm',
  dorian: 'dor',
  phrygian: 'phr',
  lydian: 'lyd',
  mixolydian: 'mix',
  locrian: 'loc',
};

/** How many fifths a mode's signature lies above that of the major key on the same tonic. */
const MODE_SHIFT: Record<Mode, number> = {
  major: 0,
  minor: -3,
  dorian: -2,
  phrygian: -4,
  lydian: 1,
  mixolydian: -1,
  locrian: -5,
};

const TONICS: readonly Letter[] = ['F', 'C', 'G', 'D', 'A', 'E', 'B'];
const SIGNS: Record<number, string> = { [-2]: '__', [-1]: '_', 0: '=', 1: '^', 2: '^^' };
const ORNAMENTS: Record<Exclude<Ornament, 'grace'>, string> = {
  trill: '!trill!',
  mordent: '!mordent!',
  turn: '!turn!',
};
const ARTICULATIONS: Record<Articulation, string> = {
  staccato: '.',
  tenuto: '!tenuto!',
  accent: '!accent!',
  marcato: '!marcato!',
  fermata: '!fermata!',
  breath: '!breath!',
};

export function writeAbc(passage: Passage): string {
  const voices = writtenVoices(passage, markTicks(passage));
  const lines = [...header(passage, voices)];
  const names = voices.length > 1 ? voices.map((_, i) => `[V:${i + 1}] `) : [''];
  const written = voices.map((voice, i) => new VoiceWriter(passage, voice, i === 0).bars());
  for (let from = 0; from < passage.bars.length; from += BARS_PER_LINE) {
    for (const [i, bars] of written.entries()) {
      lines.push(`${names[i]}${bars.slice(from, from + BARS_PER_LINE).join(' ')}`);
    }
  }
  return `${lines.join('\n')}\n`;
}

function header(passage: Passage, voices: readonly WrittenVoice[]): string[] {
  const { parts } = passage;
  const meter = passage.bars[0]!.meter;
  const key = passage.keys[0]!;
  const many = voices.length > 1;
  const plainName = parts.length === 1 && parts[0]!.name === INSTRUMENTS[parts[0]!.instrument].name;
  const lines = ['%abc-2.1', 'X:1', `T:${textString(passage.title)}`];
  if (passage.composer) lines.push(`C:${textString(passage.composer)}`);
  if (parts.length === 1) lines.push(`%%fettle-instrument ${parts[0]!.instrument}`);
  if (many) lines.push(`%%score ${scoreText(voices)}`);
  lines.push(`M:${meterText(meter)}`, 'L:1/8', `Q:${tempoText(passage.tempo)}`);
  if (many || !plainName) {
    for (const [i, voice] of voices.entries()) lines.push(...voiceLines(passage, voices, voice, i));
  }
  const transposition = partTransposition(passage, 0);
  const transpose = !many && plainName && transposition !== 0 ? ` transpose=${transposition}` : '';
  lines.push(`K:${keyText(key, key.fifths)}${transpose}`);
  return lines;
}

function voiceLines(
  passage: Passage,
  voices: readonly WrittenVoice[],
  voice: WrittenVoice,
  i: number,
): string[] {
  const { part, staff } = voice;
  const first = voices.findIndex((v) => v.part === part) === i;
  const name = first ? ` name="${textString(passage.parts[part]!.name).replace(/"/g, "'")}"` : '';
  const transposition = partTransposition(passage, part);
  const transpose = transposition === 0 ? '' : ` transpose=${transposition}`;
  const lines = [`V:${i + 1} clef=${clefOf(passage, voices, part, staff)}${transpose}${name}`];
  if (first && passage.parts.length > 1) lines.push(`%%fettle-instrument ${passage.parts[part]!.instrument}`);
  return lines;
}

/** Voices of one staff in parentheses, staves of one part in a brace. */
function scoreText(voices: readonly WrittenVoice[]): string {
  const parts = [...new Set(voices.map((v) => v.part))];
  return parts
    .map((part) => {
      const staves = [...new Set(voices.filter((v) => v.part === part).map((v) => v.staff))];
      const texts = staves.map((staff) => {
        const ids = voices.flatMap((v, i) => (v.part === part && v.staff === staff ? [i + 1] : []));
        return ids.length > 1 ? `(${ids.join(' ')})` : `${ids[0]}`;
      });
      return texts.length > 1 ? `{${texts.join(' ')}}` : texts[0]!;
    })
    .join(' ');
}

/** Writes one voice bar by bar; keeps what holds from bar to bar. */
class VoiceWriter {
  private slurOpen = false;
  private fifths: number;
  private accidentals = new BarAccidentals();
  private readonly passage: Passage;
  private readonly voice: WrittenVoice;
  /** The first voice carries tempos, rehearsal marks and bar numbers. */
  private readonly leads: boolean;

  constructor(passage: Passage, voice: WrittenVoice, leads: boolean) {
    this.passage = passage;
    this.voice = voice;
    this.leads = leads;
    this.fifths = partFifths(passage, voice.part, passage.keys[0]!.fifths);
  }

  bars(): string[] {
    const { passage, voice } = this;
    return passage.bars.map((bar, i) => {
      const line =
        i === passage.bars.length - 1 ? '|]' : bar.durationTicks < barTicks(bar.meter) ? '||' : '|';
      return `${this.opening(bar, i)}${this.bar(bar, voice.bars[i]!)} ${line}`;
    });
  }

  private opening(bar: Bar, i: number): string {
    const { bars } = this.passage;
    const before = bars[i - 1];
    let text = '';
    if (i === 0 && this.voice.part > 0 && this.fifths !== this.passage.keys[0]!.fifths) {
      text += `[K:${keyText(this.passage.keys[0]!, this.fifths)}]`;
    }
    if (before && !isSameMeter(before.meter, bar.meter)) {
      text += `[M:${meterText(bar.meter)}]`;
    }
    if (!this.leads) return text;
    const next = before ? before.number + 1 : 1;
    if (bar.number !== (bar.pickup ? next - 1 : next)) text += `[I:setbarnb ${bar.number}]`;
    if (bar.pickup !== isTailByLength(bars, i)) text += `[I:fettle-pickup${bar.pickup ? '' : ' no'}]`;
    return text;
  }

  private bar(bar: Bar, events: readonly WrittenEvent[]): string {
    this.accidentals = new BarAccidentals();
    const beats = new Set(beatsOfBar(bar).map((tick) => tick - bar.startTick));
    const groups = tupletGroups(events);
    let text = '';
    events.forEach((event, i) => {
      const group = groups.find((g) => i >= g.first && i < g.first + g.events);
      const marks = this.marks(bar.startTick + event.offset);
      const apart = i > 0 && (group ? group.first === i : beats.has(event.offset));
      text += `${apart ? ' ' : ''}${marks}${group?.first === i ? tupletText(group) : ''}`;
      text += this.event(event, group);
    });
    return text;
  }

  /** Keys, tempos and rehearsal marks that stand before an event. */
  private marks(tick: number): string {
    const { passage } = this;
    let text = '';
    for (const key of passage.keys) {
      if (key.tick !== tick || tick === 0) continue;
      this.fifths = partFifths(passage, this.voice.part, key.fifths);
      this.accidentals = new BarAccidentals();
      text += `[K:${keyText(key, this.fifths)}]`;
    }
    if (!this.leads) return text;
    for (const mark of passage.rehearsalMarks) if (mark.tick === tick) text += `[P:${textString(mark.text)}]`;
    for (const change of passage.tempoChanges) {
      if (change.tick === tick) text += `[Q:${tempoText(change.tempo)}]`;
    }
    return text;
  }

  private event(event: WrittenEvent, group: TupletGroup | undefined): string {
    const length = lengthText(
      group ? (event.durationTicks * group.actual) / group.normal : event.durationTicks,
    );
    const graces = event.graceNotes.map((note) => this.name(note.spelling)).join('');
    let text = '';
    if (event.slurred && !this.slurOpen) {
      text += '(';
      this.slurOpen = true;
    }
    if (graces !== '') text += `{${graces}}`;
    if (event.notes.length === 0) return `${text}z${length}`;
    text += decorations(event);
    const allTied = event.notes.every(({ tiedTo }) => tiedTo);
    const names = event.notes.map(
      ({ note, tiedTo }) => `${this.name(note.spelling)}${tiedTo && !allTied ? '-' : ''}`,
    );
    text += names.length > 1 || names[0]!.endsWith('-') ? `[${names.join('')}]` : names[0]!;
    text += `${length}${allTied ? '-' : ''}`;
    if (this.slurOpen && !event.slurred) {
      text += ')';
      this.slurOpen = false;
    }
    return text;
  }

  private name(spelling: Spelling): string {
    const { letter, alter, octave } = spelling;
    const sign = this.accidentals.needsSign(spelling, keyAlter(letter, this.fifths)) ? SIGNS[alter] : '';
    if (octave >= 5) return `${sign}${letter.toLowerCase()}${"'".repeat(octave - 5)}`;
    return `${sign}${letter}${','.repeat(4 - octave)}`;
  }
}

/** What the accidentals so far in a bar mean, under both rules of how far they reach. */
class BarAccidentals {
  private readonly byLetter = new Map<Letter, number>();
  private readonly byPlace = new Map<string, number>();

  needsSign({ letter, alter, octave }: Spelling, keyAlteration: number): boolean {
    const place = `${letter}${octave}`;
    const wide = this.byLetter.get(letter) ?? keyAlteration;
    const narrow = this.byPlace.get(place) ?? keyAlteration;
    if (wide === alter && narrow === alter) return false;
    this.byLetter.set(letter, alter);
    this.byPlace.set(place, alter);
    return true;
  }
}

function decorations(event: WrittenEvent): string {
  const struck = event.notes.filter(({ tiedFrom }) => !tiedFrom).map(({ note }) => note);
  const ornament = struck.find((note) => note.ornament !== undefined)?.ornament;
  const articulations = struck.find((note) => note.articulations)?.articulations ?? [];
  const ornamentText = ornament && ornament !== 'grace' ? ORNAMENTS[ornament] : '';
  return ornamentText + articulations.map((a) => ARTICULATIONS[a]).join('');
}

/** @example lengthText(5040) // '', 10080: '2', 2520: '/', 7560: '3/2' */
function lengthText(ticks: number): string {
  const divisor = gcd(ticks, UNIT_TICKS);
  const [n, d] = [ticks / divisor, UNIT_TICKS / divisor];
  return `${n === 1 ? '' : n}${d === 1 ? '' : d === 2 ? '/' : `/${d}`}`;
}

function tupletText({ actual, normal, events }: TupletGroup): string {
  if (actual === 3 && normal === 2) return events === 3 ? '(3' : `(3:2:${events}`;
  return `(${actual}:${normal}:${events}`;
}

function tempoText({ bpm, beatTicks }: Tempo): string {
  const divisor = gcd(beatTicks, TICKS_PER_WHOLE);
  const rounded = Math.round(bpm * 1e6) / 1e6;
  return `${beatTicks / divisor}/${TICKS_PER_WHOLE / divisor}=${rounded}`;
}

/** @example keyText({ tick: 0, fifths: 0, mode: 'dorian' }, 0) // 'Ddor' */
function keyText({ mode }: KeyChange, fifths: number): string {
  const tonicFifths = fifths - MODE_SHIFT[mode];
  const letter = TONICS[(((tonicFifths + 1) % 7) + 7) % 7]!;
  const alter = Math.floor((tonicFifths + 1) / 7);
  if (!LETTERS.includes(letter) || alter < -1 || alter > 1)
    throw new RangeError(`no tonic for ${fifths} ${mode}`);
  return `${letter}${alter === 1 ? '#' : alter === -1 ? 'b' : ''}${MODE_WORDS[mode]}`;
}

/** One line of text, with the signs that mean something to ABC made harmless. */
function textString(text: string): string {
  return text
    .replace(/\s+/g, ' ')
    .trim()
    .replace(/[\\%&]/g, '\\$&')
    .replace(/\]/g, ')');
}
