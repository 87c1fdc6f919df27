// Takes as rows of a table for a spreadsheet (RFC 4180).

import { type Entry, isComplete } from './entry.ts';

const COLUMNS: readonly (readonly [name: string, value: (entry: Entry) => string | number | boolean])[] = [
  ['date', (entry) => entry.date],
  ['sitting', (entry) => entry.sitting],
  ['order', (entry) => entry.order],
  ['player', (entry) => entry.player],
  ['section', (entry) => entry.together?.section ?? ''],
  ['take of the section', (entry) => entry.together?.take ?? ''],
  ['source', (entry) => entry.source],
  ['passage', (entry) => entry.passage],
  ['part', (entry) => entry.selection.part ?? ''],
  ['hand', (entry) => entry.selection.hand ?? ''],
  ['first onset', (entry) => entry.first],
  ['last onset', (entry) => entry.last],
  ['drill', (entry) => entry.drill],
  ['step', (entry) => entry.step + 1],
  ['step name', (entry) => entry.stepName],
  ['beats a minute', (entry) => entry.tempoBpm],
  ['tolerance', (entry) => entry.toleranceName],
  ['end', (entry) => entry.end],
  ['complete', isComplete],
  ['clean', (entry) => entry.clean],
  ['onward', (entry) => entry.onward],
  ['judge', (entry) => entry.judge],
  ['sentence', (entry) => entry.sentence],
];

export const TABLE_HEAD = ['number', ...COLUMNS.map(([name]) => name)].join(',');

export function tableRow(number: number, entry: Entry): string {
  return [String(number), ...COLUMNS.map(([, value]) => cell(value(entry)))].join(',');
}

function cell(value: string | number | boolean): string {
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  if (typeof value === 'number') return String(value);
  // A spreadsheet would calculate whatever begins like a formula.
  const text = /^[=+\-@\t\r]/.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
