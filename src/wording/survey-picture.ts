// The whole passage as a picture for the terminal: a ruler of bars and beats, under it a mark for each interval, and
// under the marks the places in the list of snags. Plain text; no meaning by colour.

import type { Snag, SnagKind } from '../coaching/difficulty.ts';
import { barName } from '../drills/place-name.ts';
import { beatsOfBar } from '../music/meter.ts';
import { requiredNotes } from '../music/onset.ts';
import { spellingName } from '../music/pitch.ts';
import { passageBeats, type Span } from '../music/span.ts';

/** One sign for each kind of trouble. */
export const SNAG_MARKS: Readonly<Record<SnagKind, string>> = {
  rushed: '<',
  dragged: '>',
  hesitant: '!',
  uneven: '~',
  'wrong notes': 'x',
  'missed notes': 'o',
  'extra notes': '+',
  blips: '^',
  restarts: '@',
};

const ORDINARY = '.';

/** In a list more than nine places are too many to work at. */
const MOST_PLACES = 9;

/**
 * @param snags As findSnags gave them, numbered as in the span's passage, the worst first.
 * @param columns Width of the terminal, at least 20 to be of use.
 * @returns Lines of at most so many cells, in this order for each row of bars: ruler, beats, marks, places; then a
 * legend of the marks that occur.
 */
export function surveyPicture(snags: readonly Snag[], span: Span, columns: number): string[] {
  const bars = barsOf(span);
  const intervals = bars.reduce((sum, bar) => sum + bar.onsets.length, 0);
  const room = Math.floor((columns - bars.length - 1) / Math.max(1, intervals));
  const cell = Math.max(1, Math.min(3, room));
  const beats = new Set(passageBeats(span.passage));
  const places = new Map(snags.slice(0, MOST_PLACES).map((snag, i) => [snag.onset, { snag, place: i + 1 }]));
  const lines: string[] = [];
  for (const row of rowsOf(bars, cell, columns)) {
    const ruler: string[] = [];
    const pulse: string[] = [];
    const marks: string[] = [];
    const ranks: string[] = [];
    for (const { number, onsets } of row) {
      const width = onsets.length * cell;
      ruler.push(barLabel(number, width).padEnd(width + 1));
      const drawn = (sign: (onset: number) => string) => onsets.map((o) => sign(o).padEnd(cell)).join('');
      pulse.push(`|${drawn((o) => (beats.has(span.passage.onsets[o - 1]!.tick) ? "'" : ' '))}`);
      marks.push(`|${drawn((o) => markOf(places.get(o)?.snag))}`);
      ranks.push(` ${drawn((o) => `${places.get(o)?.place ?? ''}`)}`);
    }
    lines.push(
      ruler.join('').trimEnd(),
      `${pulse.join('')}|`,
      `${marks.join('')}|`,
      ranks.join('').trimEnd(),
    );
  }
  return [...lines, ...legend(snags.slice(0, MOST_PLACES), columns)];
}

/** One line for each snag, the worst first: where, what, how sure. */
export function surveyList(snags: readonly Snag[], span: Span): string[] {
  return snags.slice(0, MOST_PLACES).map((snag, i) => {
    const what = snag.kinds.map((kind) => describeKind(kind, snag)).join(', ');
    return `${i + 1}. ${snagName(snag, span)}: ${what} (${howSure(snag.confidence)})`;
  });
}

/** In written note names, with the place. @example 'B4 to D#5, bar 3 beat 2' */
export function snagName(snag: Pick<Snag, 'onset'>, span: Span): string {
  const [from, to] = [snag.onset, snag.onset + 1].map((number) => {
    const notes = requiredNotes(span.passage.onsets[number - 1]!).map(({ spelling }) =>
      spellingName(spelling),
    );
    return notes.length > 3 ? `${notes[0]}..${notes.at(-1)}` : notes.join('+');
  });
  return `${from} to ${to}, ${placeOf(snag.onset, span)}`;
}

function placeOf(onset: number, span: Span): string {
  const { tick } = span.passage.onsets[onset - 1]!;
  const bar = span.passage.bars.findLast((b) => b.startTick <= tick);
  if (!bar) return `onset ${onset}`;
  const beats = beatsOfBar(bar).filter((beat) => beat <= tick);
  const name = barName(bar.number);
  if (beats.length === 0) return name;
  return `${name} ${beats.at(-1) === tick ? '' : 'after '}beat ${beats.length}`;
}

function describeKind(kind: SnagKind, snag: Snag): string {
  const ms = Math.round(Math.abs(snag.deviationMicros) / 1000);
  if ((kind === 'rushed' || kind === 'dragged') && ms > 0) return `${kind} by ${ms} ms`;
  if (kind === 'hesitant') return 'a stop before it';
  return kind;
}

function howSure(confidence: number): string {
  const word = confidence >= 0.9 ? 'sure' : confidence >= 0.5 ? 'likely' : 'perhaps';
  return `${word}, ${Math.min(99, Math.round(100 * confidence))} %`;
}

function markOf(snag: Snag | undefined): string {
  return snag ? SNAG_MARKS[snag.kinds[0]!] : ORDINARY;
}

function barLabel(number: number | undefined, width: number): string {
  const labels = number === undefined ? [] : [`bar ${number}`, `${number}`];
  return labels.find((label) => label.length <= width) ?? '';
}

interface PictureBar {
  /** Absent where a bar goes on in the next row. */
  readonly number?: number;
  /** Numbers of the onsets in it where an interval begins. */
  readonly onsets: readonly number[];
}

function barsOf(span: Span): PictureBar[] {
  const { bars, onsets } = span.passage;
  const pictured = bars.map((bar) => {
    const end = bar.startTick + bar.durationTicks;
    const numbers = onsets.flatMap(({ tick }, i) => (tick >= bar.startTick && tick < end ? [i + 1] : []));
    return { number: bar.number, onsets: numbers.filter((n) => n >= span.first && n < span.last) };
  });
  return pictured.filter((bar) => bar.onsets.length > 0);
}

/** Rows break between bars; a bar wider than the terminal goes on in the next row. */
function rowsOf(bars: readonly PictureBar[], cell: number, columns: number): PictureBar[][] {
  const most = Math.max(1, Math.floor((columns - 2) / cell));
  const rows: PictureBar[][] = [];
  let used = Number.POSITIVE_INFINITY;
  for (const bar of bars) {
    for (let at = 0; at < bar.onsets.length; at += most) {
      const onsets = bar.onsets.slice(at, at + most);
      const width = onsets.length * cell + 1;
      if (used + width + 1 > columns) {
        rows.push([]);
        used = 0;
      }
      rows.at(-1)!.push(at === 0 ? { number: bar.number!, onsets } : { onsets });
      used += width;
    }
  }
  return rows;
}

function legend(snags: readonly Snag[], columns: number): string[] {
  const kinds = [...new Set(snags.map((snag) => snag.kinds[0]!))];
  const words = [`${ORDINARY} in order`, ...kinds.map((kind) => `${SNAG_MARKS[kind]} ${kind}`), "' beat"];
  const lines: string[] = [];
  for (const word of words) {
    const last = lines.at(-1);
    if (last !== undefined && last.length + 3 + word.length <= columns)
      lines[lines.length - 1] = `${last}   ${word}`;
    else lines.push(word);
  }
  return lines;
}
