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

/** Writes wrapped text in a box; returns the rows used. */
export function putWrapped(
  canvas: Canvas,
  row: number,
  column: number,
  text: string,
  options: { width: number; rows: number; role?: TextRole },
): number {
  const lines = wrap(text, options.width).slice(0, options.rows);
  lines.forEach((line, i) => {
    put(canvas, row + i, column, line, options.role);
  });
  return lines.length;
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
