// An ABC file: a file header, then tunes, each from its X: field to an empty line (ABC 2.1, section 2.2). Finds the
// tune asked for, by its number or its title.

/** A line of a tune, with its place in the file. */
export interface AbcLine {
  readonly text: string;
  /** From 1. */
  readonly line: number;
}

export interface AbcTune {
  readonly number: string;
  readonly title: string;
  readonly lines: readonly AbcLine[];
}

export interface AbcBook {
  /** Fields that hold for every tune. */
  readonly header: readonly AbcLine[];
  readonly tunes: readonly AbcTune[];
}

/** Splits a file. A text without any X: field, but with a K: field or music, is taken for one tune. */
export function openAbcBook(text: string): AbcBook {
  const lines = text.split(/\r\n|\r|\n/).map((t, i) => ({ text: t, line: i + 1 }));
  const header: AbcLine[] = [];
  const tunes: AbcLine[][] = [];
  let current: AbcLine[] | undefined;
  let headerOpen = true;
  for (const line of lines) {
    if (/^X:/.test(line.text)) {
      current = [line];
      tunes.push(current);
      headerOpen = false;
    } else if (line.text.trim() === '') {
      current = undefined;
      if (header.length > 0) headerOpen = false;
    } else if (current) current.push(line);
    else if (headerOpen) header.push(line);
  }
  if (tunes.length === 0) {
    const all = lines.filter((line) => line.text.trim() !== '');
    return { header: [], tunes: all.length > 0 ? [tune(all)] : [] };
  }
  return { header: header.filter(({ text: t }) => /^([A-Za-z]:|%%)/.test(t)), tunes: tunes.map(tune) };
}

function tune(lines: readonly AbcLine[]): AbcTune {
  const field = (letter: string) =>
    lines
      .find(({ text }) => text.startsWith(`${letter}:`))
      ?.text.slice(2)
      .trim() ?? '';
  return { number: field('X').replace(/\s*%.*$/, ''), title: field('T'), lines };
}

/** By X: number, else by place in the file from 1, else by title (case and spaces at the ends do not matter). */
export function findTune(book: AbcBook, wanted: number | string): AbcTune | undefined {
  const text = String(wanted).trim().toLowerCase();
  const byTitle = book.tunes.find((t) => t.title.toLowerCase() === text);
  const byNumber = book.tunes.find((t) => t.number === text);
  const byPlace = /^\d+$/.test(text) ? book.tunes[Number(text) - 1] : undefined;
  return (
    byNumber ??
    byTitle ??
    byPlace ??
    book.tunes.find((t) => text !== '' && t.title.toLowerCase().includes(text))
  );
}
