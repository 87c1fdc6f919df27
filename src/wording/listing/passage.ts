// What `fettle show PASSAGE` prints: the notes by name, higher ones higher, over a ruler of beats, with bar and onset
// numbers, so that the player can name a place. Plain ASCII of its own; names are as the player reads them.
// Every column belongs to an onset or to a beat; a note that lasts is drawn on with dashes.

import { INSTRUMENTS } from '../../music/instrument.ts';
import { type Bar, meterText } from '../../music/meter.ts';
import type { Mode, Passage } from '../../music/passage.ts';
import { rangeWarnings } from '../../notation/range-warnings.ts';
import { noteValueName } from '../note-value.ts';
import { cutToWidth, drawable, textWidth } from '../text-width.ts';
import { rowsOf } from './columns.ts';
import { drawRow, labelWidth } from './row.ts';

/** Narrower, hardly a bar fits. */
const LEAST_COLUMNS = 40;

export interface ListingOptions {
  /** Numbers of onsets that get a question mark. */
  readonly doubtful?: ReadonlySet<number>;
  /** Only the bars in which these onsets lie, whole; numbered from 1. */
  readonly range?: { readonly first: number; readonly last: number };
  /** Fingerings to write under the notes of a part, by the number of the onset. */
  readonly fingers?: (part: number) => ReadonlyMap<number, string>;
}

/** Lines of at most `columns` characters (40 or more). */
export function listPassage(
  passage: Passage,
  columns = 80,
  { doubtful = new Set(), range, fingers }: ListingOptions = {},
): string[] {
  const width = Math.max(LEAST_COLUMNS, Math.floor(columns));
  const bars = range ? barsAround(passage, range) : passage.bars;
  const lines = [
    ...heading(passage),
    ...(bars.length < passage.bars.length ? [`here: ${barNumbers(bars)}`] : []),
  ];
  passage.parts.forEach((part, index) => {
    const { name } = INSTRUMENTS[part.instrument];
    lines.push('');
    if (passage.parts.length > 1) {
      lines.push(`Part ${index + 1}: ${part.name}${part.name === name ? '' : `, ${name}`}`);
    }
    const under = fingers?.(index);
    const cell = Math.max(
      4,
      1 + Math.max(0, ...[...(under?.values() ?? [])].map((mark) => mark.length)),
      longestName(passage, index) + 1,
      String(passage.onsets.length).length + (doubtful.size > 0 ? 2 : 1),
    );
    const fitting = Math.floor((width - labelWidth - 1) / cell);
    for (const row of rowsOf(passage, index, fitting, bars))
      lines.push(...drawRow(passage, index, row, { cell, doubtful, ...(under?.size ? { under } : {}) }), '');
  });
  const graces = passage.onsets.some((o) => o.notes.some((n) => n.ornament === 'grace'));
  if (graces) lines.push('Small letters are grace notes.');
  for (const warning of rangeWarnings(passage)) lines.push(`! ${warning}`);
  while (lines.at(-1) === '') lines.pop();
  return lines.flatMap((line) => folded(drawable(line).trimEnd(), width));
}

function heading(passage: Passage): string[] {
  const { bpm, beatTicks } = passage.tempo;
  const first = passage.parts[0];
  const by = passage.composer === undefined ? '' : `, ${passage.composer}`;
  const about = [
    ...(first && passage.parts.length === 1 ? [INSTRUMENTS[first.instrument].name] : []),
    ...(passage.bars[0] ? [meterText((passage.bars.find((b) => !b.pickup) ?? passage.bars[0]).meter)] : []),
    ...(passage.keys[0] ? [keyText(passage.keys[0].fifths, passage.keys[0].mode)] : []),
    `goal ${Math.round(bpm * 10) / 10} ${noteValueName(beatTicks)} a minute`,
  ];
  const numbers = barNumbers(passage.bars);
  return [passage.title + by, about.join(', '), `${numbers}, onsets 1 to ${passage.onsets.length}`];
}

function barNumbers(bars: readonly Bar[]): string {
  const numbers = bars.map((b) => b.number);
  return numbers.length === 1
    ? `bar ${numbers[0]}`
    : `bars ${Math.min(...numbers)} to ${Math.max(...numbers)}`;
}

/** The bars from that of the first onset to that of the last. */
function barsAround(
  { bars, onsets }: Passage,
  { first, last }: { readonly first: number; readonly last: number },
): readonly Bar[] {
  const from = onsets[first - 1]!.tick;
  const to = onsets[last - 1]!.tick;
  return bars.filter((bar) => bar.startTick + bar.durationTicks > from && bar.startTick <= to);
}

const MAJOR_TONICS = ['Cb', 'Gb', 'Db', 'Ab', 'Eb', 'Bb', 'F', 'C', 'G', 'D', 'A', 'E', 'B', 'F#', 'C#'];
/** Fifths from the major tonic of the same signature to the mode's own tonic. */
const MODE_FIFTHS: Readonly<Record<Mode, number>> = {
  lydian: -1,
  major: 0,
  mixolydian: 1,
  dorian: 2,
  minor: 3,
  phrygian: 4,
  locrian: 5,
};

/** @example keyText(-3, 'minor') // 'C minor' */
export function keyText(fifths: number, mode: Mode): string {
  const place = fifths + 7 + MODE_FIFTHS[mode];
  const tonic = MAJOR_TONICS[place] ?? `${MAJOR_TONICS[place - 7]}#`;
  return `${tonic} ${mode}`;
}

function longestName(passage: Passage, part: number): number {
  let longest = 0;
  for (const { notes } of passage.onsets) {
    for (const { part: own, spelling } of notes) {
      if (own === part)
        longest = Math.max(longest, 1 + Math.abs(spelling.alter) + String(spelling.octave).length);
    }
  }
  return longest;
}

/** Sentences may be longer than the screen; what is drawn never is. */
function folded(line: string, width: number): string[] {
  if (textWidth(line) <= width) return [line];
  const room = cutToWidth(line, width).length;
  const at = line.lastIndexOf(' ', room);
  const cut = at > room / 2 ? at : room;
  return [line.slice(0, cut).trimEnd(), ...folded(`  ${line.slice(cut).trimStart()}`, width)];
}
