// Which rows of a terminal belong to what. In a small one the sentence stays whole first, then the step and where it
// stands, then the notes; the needles, the large count, the third header line and the keys give way before them.

import type { TerminalSize } from '../ports/terminal.ts';
import { COUNT_ROWS } from './beat-count.ts';

export interface Layout {
  /** Lines of the header from row 0: 3, 2 or 1. */
  readonly headerRows: number;
  /** First row and number of rows of count and contour. */
  readonly bodyRow: number;
  readonly bodyRows: number;
  /** Columns of the count at the left. */
  readonly countColumns: number;
  readonly largeCount: boolean;
  /** Rows under the names: ruler and marks, then three of needles. */
  readonly underNames: number;
  readonly wordsRow: number;
  readonly wordsRows: number;
  /** The line of keys is there. */
  readonly keys: boolean;
}

/** Most verdicts are within so many characters. */
const SENTENCE_CHARACTERS = 80;

export function layoutOf({ rows, columns }: TerminalSize): Layout {
  const keys = rows >= 8;
  const headerRows = rows >= 14 ? 3 : rows >= 7 ? 2 : 1;
  const gap = rows >= 18 ? 1 : 0;
  const free = Math.max(0, rows - headerRows - gap - (keys ? 1 : 0));
  const sentenceRows = Math.ceil(SENTENCE_CHARACTERS / Math.max(1, columns - 2));
  const more = rows >= 18 ? 3 : rows >= 16 ? 2 : rows >= 14 ? 1 : 0;
  const wordsRows = Math.min(free, Math.max(rows >= 18 ? 2 : 1, sentenceRows) + more);
  const bodyRow = headerRows + gap;
  const bodyRows = free - wordsRows;
  const largeCount = bodyRows >= COUNT_ROWS + 3;
  return {
    headerRows,
    bodyRow,
    bodyRows,
    countColumns: columns >= 60 ? 14 : 10,
    largeCount,
    underNames: largeCount ? 5 : bodyRows >= 3 ? 2 : 0,
    wordsRow: bodyRow + bodyRows,
    wordsRows,
    keys,
  };
}

/** Rows of a player in a section that is drawn large: two of marks and one between. */
const LARGE_ROW = 3;

/**
 * Several players: a short header, so that sixteen of them have a row each in 24. What is left when each has a large row
 * goes to the words first, a line for each player, then to the count.
 */
export function sectionLayout({ rows }: TerminalSize, players: number): Layout {
  const keys = rows >= 8;
  // The title's row, where it takes no player's second one.
  const headerRows = rows >= Math.max(30, 25 + players) ? 3 : rows >= 7 ? 2 : 1;
  const free = Math.max(0, rows - headerRows - (keys ? 1 : 0));
  const least = Math.min(Math.max(0, free - 2), rows >= 38 ? 4 : rows >= 24 ? 3 : 2);
  // The stage's row, the players', the sum's; two lines of the section, one for each and one to spare.
  const beside = free - 2 - players * LARGE_ROW;
  const wordsRows = Math.max(least, Math.min(beside, players + 3));
  const bodyRows = free - wordsRows;
  return {
    headerRows,
    bodyRow: headerRows,
    bodyRows,
    countColumns: 0,
    largeCount: bodyRows >= COUNT_ROWS + 1 + players * LARGE_ROW,
    underNames: 0,
    wordsRow: headerRows + bodyRows,
    wordsRows,
    keys,
  };
}
