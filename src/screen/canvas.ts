// A grid of cells to write on, turned into a frame when done. Text that does not fit is cut at the edge.

import type { Frame, TerminalSize, TextRole, TextRun } from '../ports/terminal.ts';
import { cutToWidth, drawable, graphemes, textWidth } from '../wording/text-width.ts';

interface Cell {
  /** A character with its marks; empty in the second cell of a wide one. */
  char: string;
  role: TextRole;
}

export interface Canvas {
  readonly size: TerminalSize;
  readonly cells: Cell[][];
}

export function newCanvas(size: TerminalSize): Canvas {
  const row = () => Array.from({ length: size.columns }, (): Cell => ({ char: ' ', role: 'plain' }));
  return { size, cells: Array.from({ length: size.rows }, row) };
}

/** Writes at a cell; parts outside the canvas are dropped, a wide character that does not fit as a whole too. */
export function put(
  canvas: Canvas,
  row: number,
  column: number,
  text: string,
  role: TextRole = 'plain',
): void {
  const line = canvas.cells[row];
  if (!line) return;
  let at = column;
  for (const { text: char, width } of graphemes(text)) {
    const cells = line.slice(Math.max(0, at), Math.max(0, at + width));
    if (width > 0 && cells.length === width) {
      clearRest(line, at, width);
      cells.forEach((cell, i) => {
        cell.char = i === 0 ? char : '';
        cell.role = role;
      });
    }
    at += width;
  }
}

/** What is left of a wide character of which a cell is written over becomes a space. */
function clearRest(line: readonly Cell[], at: number, width: number): void {
  if (line[at]!.char === '') {
    let first = at - 1;
    while (line[first]!.char === '') first -= 1;
    for (const cell of line.slice(first, at)) cell.char = ' ';
  }
  for (let after = at + width; line[after]?.char === ''; after += 1) line[after]!.char = ' ';
}

/** Writes so that the text ends at the right edge. */
export function putRight(
  canvas: Canvas,
  row: number,
  text: string,
  role: TextRole = 'plain',
  margin = 1,
): void {
  put(canvas, row, canvas.size.columns - textWidth(text) - margin, text, role);
}

/** Writes wrapped text in a box; returns the rows used. Dots at the end say that there is more. */
export function putWrapped(
  canvas: Canvas,
  row: number,
  column: number,
  text: string,
  options: { width: number; rows: number; role?: TextRole },
): number {
  const all = wrap(text, options.width);
  const lines = all.slice(0, Math.max(0, options.rows));
  const last = lines.at(-1);
  if (last !== undefined && lines.length < all.length)
    lines[lines.length - 1] = `${fitWords(last, options.width - 4)} ...`;
  lines.forEach((line, i) => {
    put(canvas, row + i, column, line, options.role);
  });
  return lines.length;
}

/** As many whole words as fit; of a first word that is too long, its beginning. */
export function fitWords(text: string, width: number): string {
  if (width <= 0) return '';
  const [line = ''] = wrap(text, width);
  return line.replace(/[,:(]+$/, '');
}

/** Writes the first pair of which both sides fit, one at each edge; else the last one's left side in whole words. */
export function putSides(
  canvas: Canvas,
  row: number,
  pairs: readonly (readonly [left: string, right: string])[],
  roles: { readonly left: TextRole; readonly right: TextRole },
): void {
  const width = canvas.size.columns - 2;
  const needed = ([left, right]: readonly [string, string]) =>
    textWidth(left) + textWidth(right) + (left !== '' && right !== '' ? 2 : 0);
  const pair = pairs.find((one) => needed(one) <= width) ?? pairs.at(-1)!;
  const [left, right] = pair;
  const taken = textWidth(right);
  if (taken <= width) putRight(canvas, row, right, roles.right);
  put(
    canvas,
    row,
    1,
    fitWords(left, taken <= width ? width - taken - 2 * Number(right !== '') : width),
    roles.left,
  );
}

/** Lines of so many cells at most, between words; within one that is longer than a line. */
export function wrap(text: string, width: number): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of drawable(text).split(' ')) {
    if (line === '') line = word;
    else if (textWidth(line) + 1 + textWidth(word) <= width) line += ` ${word}`;
    else {
      lines.push(line);
      line = word;
    }
    while (textWidth(line) > width) {
      const begin = cutToWidth(line, width);
      if (begin === '') break;
      lines.push(begin);
      line = line.slice(begin.length);
    }
  }
  return [...lines, line];
}

export function toFrame(canvas: Canvas): Frame {
  return { columns: canvas.size.columns, rows: canvas.size.rows, lines: canvas.cells.map(runs) };
}

function runs(cells: readonly Cell[]): TextRun[] {
  const out: { text: string; role: TextRole }[] = [];
  for (const { char, role } of cells) {
    const last = out.at(-1);
    if (last && last.role === role) last.text += char;
    else out.push({ text: char, role });
  }
  return out;
}
