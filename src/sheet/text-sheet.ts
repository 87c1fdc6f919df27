// A sheet as plain text, for a terminal or a message: note names as the player reads them.

import { requiredNotes } from '../music/onset.ts';
import type { Passage } from '../music/passage.ts';
import { spellingName } from '../music/pitch.ts';
import type { Sheet } from './sheet.ts';

/** Lines of at most `columns` characters where words can be broken. */
export function sheetText(sheet: Sheet, columns = 78): string[] {
  const lines = [sheet.title, sheet.subtitle.filter((text) => text !== '').join(', ')];
  for (const { heading, words, rungsBpm, music } of sheet.sections) {
    lines.push('', heading.toUpperCase());
    for (const paragraph of words) lines.push(...folded(paragraph, columns, ''));
    if (rungsBpm.length > 0) lines.push(rungsBpm.map((bpm) => `[ ] ${bpm}`).join('  '));
    for (const step of stepTexts(music)) lines.push(...folded(step, columns, '    '));
  }
  if (sheet.footer !== undefined) lines.push('', ...folded(sheet.footer, columns, ''));
  return lines;
}

/** One line a step: its number, what is written over it, its notes; `^` after a fermata, `-` after a leaned note. */
function stepTexts(music: Passage): string[] {
  const marks = music.rehearsalMarks;
  const starts = marks.length > 0 ? marks.map(({ tick }) => tick) : [0];
  return starts.map((start, i) => {
    const end = starts[i + 1] ?? music.endTick;
    const inside = <T extends { readonly tick: number }>(items: readonly T[]) =>
      items.filter(({ tick }) => tick >= start && tick < end);
    const titles = inside(music.annotations ?? []).flatMap((one) => (one.kind === 'text' ? [one.text] : []));
    const brackets = inside(music.annotations ?? []).filter((one) => one.kind === 'bracket');
    const notes = inside(music.onsets).map((onset) => {
      const names = requiredNotes(onset).map(({ spelling }) => spellingName(spelling));
      const signs = new Set(requiredNotes(onset).flatMap(({ articulations = [] }) => articulations));
      const sign = `${signs.has('fermata') ? '^' : ''}${signs.has('tenuto') ? '-' : ''}`;
      const opens = brackets.some((one) => one.tick === onset.tick) ? '(' : '';
      const closes = brackets.some((one) => one.endTick === onset.tick) ? ')' : '';
      return `${opens}${names.join('+')}${sign}${closes}`;
    });
    const head = marks[i] ? `${marks[i].text.padStart(3)}  ` : '     ';
    return `${head}${titles.length > 0 ? `${titles.join(', ')}: ` : ''}${notes.join(' ')}`;
  });
}

function folded(text: string, columns: number, indent: string): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(/(?<=\S) (?=\S)/)) {
    if (line !== '' && line.length + 1 + word.length > columns) {
      lines.push(line);
      line = indent + word;
    } else line = line === '' ? word : `${line} ${word}`;
  }
  return [...lines, line];
}
