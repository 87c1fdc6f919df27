// One row of a listing, drawn: bar numbers and marks on top, names at their height, the ruler of beats, the onset
// numbers. A height is a written note name; only the heights of the row have a line.

import { isSameMeter, meterText } from '../../music/meter.ts';
import type { Passage } from '../../music/passage.ts';
import { type Spelling, spellingName, spellingToPitch } from '../../music/pitch.ts';
import { graphemes, textWidth } from '../text-width.ts';
import type { ListedColumn } from './columns.ts';

/** Room for the words "beat", "onset" and "finger" at the left. */
export const labelWidth = 6;

interface Drawn {
  readonly column: number;
  readonly text: string;
  readonly spelling: Spelling;
  /** Columns through which it is still held. */
  readonly held: number;
}

interface RowOptions {
  readonly cell: number;
  readonly doubtful: ReadonlySet<number>;
  /** Fingerings, by the number of the onset. */
  readonly under?: ReadonlyMap<number, string>;
}

/** `cell`: characters a column. Each row ends with a bar line; lines are labelWidth + 1 + columns * cell at most. */
export function drawRow(
  passage: Passage,
  part: number,
  columns: readonly ListedColumn[],
  { cell, doubtful, under }: RowOptions,
): string[] {
  const width = labelWidth + 1 + columns.length * cell;
  const at = (column: number) => labelWidth + 1 + column * cell;
  const drawn = drawnNotes(columns, part);
  const heights = [...new Map(drawn.map((d) => [heightOf(d.spelling), d.spelling])).keys()].sort(
    (a, b) => b - a,
  );
  const names = heights.map((height) => {
    const line = blank(width);
    for (const d of drawn.filter((one) => heightOf(one.spelling) === height)) {
      put(line, at(d.column), d.text);
      for (let c = at(d.column) + d.text.length; c < at(d.column + d.held + 1) - 1; c++) {
        if (d.held > 0 && line[c] === ' ') line[c] = '-';
      }
    }
    return line;
  });
  const bars = blank(width);
  const beats = blank(width);
  const numbers = blank(width);
  put(beats, 0, 'beat');
  const fingers = blank(width);
  put(numbers, 0, 'onset');
  if (under) put(fingers, 0, 'finger');
  columns.forEach((column, c) => {
    if (column.opensBar) {
      put(beats, at(c) - 1, '|');
      put(bars, at(c), barLabel(passage, column, columns, c, cell));
    }
    put(beats, at(c), column.beat === undefined ? '.' : String(column.beat));
    if (!column.onset) return;
    const { number } = column.onset;
    put(numbers, at(c), `${number}${doubtful.has(number) ? '?' : ''}`);
    put(fingers, at(c), under?.get(number) ?? '');
  });
  return [bars, ...names, beats, numbers, ...(under ? [fingers] : [])].map((line) => line.join('').trimEnd());
}

/** The bar's number, its marks, and its meter where that is new; as much as there is room for. */
function barLabel(
  passage: Passage,
  { bar }: ListedColumn,
  columns: readonly ListedColumn[],
  from: number,
  cell: number,
): string {
  const end = bar.startTick + bar.durationTicks;
  const marks = passage.rehearsalMarks.filter((m) => m.tick >= bar.startTick && m.tick < end);
  const before = passage.bars[passage.bars.indexOf(bar) - 1];
  const newMeter = before && !isSameMeter(before.meter, bar.meter);
  const words = [
    `bar ${bar.number}`,
    ...marks.map((m) => `[${m.text}]`),
    ...(newMeter ? [meterText(bar.meter)] : []),
  ];
  const next = columns.findIndex((c, i) => i > from && c.opensBar);
  const room = ((next < 0 ? columns.length : next) - from) * cell - 1;
  // A narrow pickup has room for its number only.
  const fitting = [words.join(' '), words[0]!, String(bar.number)];
  return fitting.find((label) => textWidth(label) <= room) ?? '';
}

function drawnNotes(columns: readonly ListedColumn[], part: number): Drawn[] {
  return columns.flatMap(({ onset, tick }, column) =>
    (onset?.onset.notes ?? [])
      .filter((note) => note.part === part)
      // What must be played is never written over.
      .toSorted((a, b) => Number(b.ornament === 'grace') - Number(a.ornament === 'grace'))
      .map((note) => {
        const name = spellingName(note.spelling);
        const end = tick + note.durationTicks;
        const held = columns.filter((c, i) => i > column && c.tick < end).length;
        return {
          column,
          text: note.ornament === 'grace' ? name.toLowerCase() : name,
          spelling: note.spelling,
          held: note.ornament === 'grace' ? 0 : held,
        };
      }),
  );
}

/** Staff height: seven steps an octave, sharps above and flats below the plain note of their step. */
function heightOf(spelling: Spelling): number {
  return spellingToPitch({ ...spelling, alter: 0 }) + spelling.alter / 8;
}

function blank(width: number): string[] {
  return new Array<string>(width).fill(' ');
}

function put(line: string[], at: number, text: string): void {
  let cell = at;
  for (const sign of graphemes(text)) {
    if (sign.width === 0 || cell + sign.width > line.length) continue;
    line.fill('', cell, cell + sign.width);
    line[cell] = sign.text;
    cell += sign.width;
  }
}
