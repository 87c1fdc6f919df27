// A grid of cells to write on, turned into a frame when done. Text that does not fit is cut at the edge.

import type { Frame, TerminalSize, TextRole, TextRun } from '../ports/terminal.ts';

interface Cell {
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

/** Writes at a cell; parts outside the canvas are dropped. Every character is one cell wide. */
export function put(
  canvas: Canvas,
  row: number,
  column: number,
  text: string,
  role: TextRole = 'plain',
): void {
  const line = canvas.cells[row];
  if (!line) return;
  [...text].forEach((char, i) => {
    const cell = line[column + i];
    if (!cell) return;
    cell.char = char;
    cell.role = role;
  });
}

/** Writes so that the text ends at the right edge. */
export function putRight(
  canvas: Canvas,
  row: number,
  text: string,
  role: TextRole = 'plain',
  margin = 1,
): void {
  put(canvas, row, canvas.size.columns - [...text].length - margin, text, role);
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
  return line.length <= width ? line.replace(/[,:(]+$/, '') : line.slice(0, width);
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
    left.length + right.length + (left !== '' && right !== '' ? 2 : 0);
  const pair = pairs.find((one) => needed(one) <= width) ?? pairs.at(-1)!;
  const [left, right] = pair;
  if (right.length <= width) putRight(canvas, row, right, roles.right);
  put(
    canvas,
    row,
    1,
    fitWords(left, right.length <= width ? width - right.length - 2 * Number(right !== '') : width),
    roles.left,
  );
}

export function wrap(text: string, width: number): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(' ')) {
    if (line !== '' && line.length + 1 + word.length > width) {
      lines.push(line);
      line = word;
    } else line = line === '' ? word : `${line} ${word}`;
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
