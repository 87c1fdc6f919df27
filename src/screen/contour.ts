// The contour: note names at their height over a ruler of beats, the landing and its hold drawn on it, what became of
// each note under it, and a needle under each interval.

import { type GridBeat, isGrouped } from '../drills/beat-grid.ts';
import type { Line, Run, StepOnset } from '../drills/step.ts';
import type { NoteVerdict } from '../matching/alignment.ts';
import { requiredNotes } from '../music/onset.ts';
import { spellingName } from '../music/pitch.ts';
import type { TextRole } from '../ports/terminal.ts';
import type { IntervalVerdict } from '../take/verdict.ts';
import { topName } from '../wording/interval-name.ts';
import { holdText, lengthMarks } from '../wording/step-notes.ts';
import { type Canvas, put } from './canvas.ts';

/** Cells an onset needs at least: a name such as "F#5", its mark, and room for "+120". */
const SLOT = 5;

export interface ContourBox {
  readonly row: number;
  readonly column: number;
  readonly width: number;
  /** Rows for the names alone. */
  readonly rows: number;
  /** Rows under them, as many as there is room for: ruler, marks, and three of needles. */
  readonly under: number;
}

export interface ContourState {
  /** What is known of each expected note, in order; undefined while open. */
  readonly notes: readonly (NoteVerdict | undefined)[];
  readonly intervals: readonly IntervalVerdict[];
  /** Indexes of the onsets that a blip came before. */
  readonly blips: readonly number[];
  /** Index of the onset that is due; the page follows it. */
  readonly position: number;
  /** Beats by tick, for the ruler's numbers; absent: it has none. */
  readonly beatOf?: (tick: number) => GridBeat;
  /** The computer keyboard's letter of each sounding pitch, where it is the instrument. */
  readonly letters?: ReadonlyMap<number, string>;
  /** Fingerings that need a decision, by onset; '' elsewhere. */
  readonly fingers?: readonly string[];
}

/** One player's line of a run. */
export interface DrawnLine {
  readonly run: Run;
  readonly line: Line;
}

export function putContour(canvas: Canvas, box: ContourBox, step: DrawnLine, state: ContourState): void {
  // Who rests through the run has nothing to see.
  if (step.line.onsets.length === 0) return;
  const tail = tailCells(step);
  const page = pageOf(step, state.position, Math.max(1, Math.floor((box.width - tail) / SLOT)));
  const columns = columnsOf(step, page, box, tail);
  const heights = heightsOf(step, page, box.rows);
  if (box.under >= 1) {
    putRuler(canvas, box, step, { page, columns, ...state });
    putFingers(canvas, box, state.fingers ?? [], page, columns);
  }
  const lengths = lengthMarks(step.line.onsets);
  for (let i = page.first; i <= page.last; i++) {
    const onset = step.line.onsets[i]!;
    const column = columns[i - page.first]!;
    const landing = step.run.landing && i === step.line.onsets.length - 1;
    const verdicts = state.notes.filter((one) => one?.onset === i);
    const role = nameRole(verdicts, i === state.position);
    const row = putNames(canvas, box, onset, { column, heights, landing, role });
    if (landing) putHold(canvas, row, column, onset, step.run.holdBeats);
    else if (row !== undefined) putLength(canvas, row, column, { onset, mark: lengths[i]!, role });
    if (box.under >= 1 && onset.leanTicks !== undefined)
      put(canvas, box.row + box.rows, column, 'lean', 'strong');
    if (box.under >= 2) {
      const mark = markOf(verdicts, i === state.position);
      put(canvas, box.row + box.rows + 1, column, mark, role);
      const letters = requiredNotes(onset).map(({ pitch }) => state.letters?.get(pitch) ?? '');
      put(canvas, box.row + box.rows + 1, column + 2, letters.join('').slice(0, SLOT - 2), 'strong');
    }
  }
  if (box.under >= 2) putBlips(canvas, box, state.blips, page, columns);
  if (box.under >= 5) putNeedles(canvas, box, state.intervals, page, columns);
  const edge = box.row + box.rows + Math.min(1, box.under - 1);
  if (page.first > 0) put(canvas, edge, box.column, '<', 'dim');
  if (page.last < step.line.onsets.length - 1) put(canvas, edge, box.column + box.width - 1, '>', 'dim');
}

/** Cells that the last onset needs, to the right edge: a landing takes its bracket and its hold with it. */
function tailCells({ run: { landing, holdBeats }, line: { onsets } }: DrawnLine): number {
  const last = onsets.at(-1)!;
  if (!landing) return SLOT + 1;
  const names = last.notes.map((note) => spellingName(note.spelling).length);
  return Math.max(SLOT + 1, ...names.map((length) => length + 1 + holdText(holdBeats).length));
}

interface Page {
  readonly first: number;
  readonly last: number;
}

/** As many as fit. They move on with the place, so that most of what is seen is still to come. */
function pageOf(step: DrawnLine, position: number, most: number): Page {
  const count = step.line.onsets.length;
  if (count <= most) return { first: 0, last: count - 1 };
  const first = Math.min(count - most, Math.max(0, position - Math.floor(most / 3)));
  return { first, last: first + most - 1 };
}

/** In proportion to time where that leaves every onset its slot, else slot by slot. */
function columnsOf(step: DrawnLine, page: Page, box: ContourBox, tail: number): number[] {
  const onsets = step.line.onsets.slice(page.first, page.last + 1);
  const from = onsets[0]!.tick;
  const span = Math.max(1, onsets.at(-1)!.tick - from);
  const room = box.width - 5 - tail;
  const columns: number[] = [];
  onsets.forEach((onset, i) => {
    const wanted = box.column + 5 + Math.round(((onset.tick - from) / span) * room);
    columns.push(i === 0 ? wanted : Math.max(wanted, columns[i - 1]! + SLOT));
  });
  const over = columns.at(-1)! - (box.column + 5 + room);
  return over <= 0 ? columns : columns.map((_, i) => box.column + 5 + i * SLOT);
}

/** Row (within the box) of each pitch: evenly by rank where the rows suffice, else in proportion. */
function heightsOf(step: DrawnLine, page: Page, rows: number): Map<number, number> {
  const pitches = [
    ...new Set(step.line.onsets.slice(page.first, page.last + 1).flatMap((o) => o.notes.map((n) => n.pitch))),
  ].sort((a, b) => b - a);
  const high = pitches[0]!;
  const low = pitches.at(-1)!;
  return new Map(
    pitches.map((pitch, rank) => {
      if (pitches.length <= rows) return [pitch, Math.round(((rank + 0.5) * rows) / pitches.length - 0.5)];
      return [pitch, Math.round(((high - pitch) * (rows - 1)) / Math.max(1, high - low))];
    }),
  );
}

/**
 * Each note at its height, or at the next free row where two fall on one; notes for which there is no row are counted
 * beside the top one, grace notes first. Returns the row of the top note that must be played.
 */
function putNames(
  canvas: Canvas,
  box: ContourBox,
  onset: StepOnset,
  at: { column: number; heights: ReadonlyMap<number, number>; landing: boolean; role: TextRole },
): number {
  const required = requiredNotes(onset);
  const graces = onset.notes.filter((note) => note.ornament === 'grace');
  const notes = [...required.toReversed(), ...graces].slice(0, box.rows);
  const left = onset.notes.length - notes.length;
  const downward = notes.toSorted((a, b) => b.pitch - a.pitch);
  const rows = freeRows(
    downward.map((note) => at.heights.get(note.pitch)!),
    box.rows,
  );
  const top = notes[0]!;
  downward.forEach((note, i) => {
    const name = spellingName(note.spelling);
    const row = box.row + rows[i]!;
    if (note.ornament === 'grace') {
      put(canvas, row, at.column, name.toLowerCase(), at.role);
      return;
    }
    const more = note === top && left > 0 ? `+${left}` : '';
    const brackets = at.landing ? (['[', ']'] as const) : ([' ', ''] as const);
    if (at.landing) put(canvas, row, at.column - 1, brackets[0], 'strong');
    put(canvas, row, at.column, name, at.role);
    put(canvas, row, at.column + name.length, brackets[1] + more, 'strong');
  });
  return box.row + rows[downward.indexOf(top)]!;
}

/** Rows from the top down, no two alike, as near to the wanted ones as there is room. */
function freeRows(wanted: readonly number[], count: number): number[] {
  const rows: number[] = [];
  for (const row of wanted) rows.push(Math.max(row, (rows.at(-1) ?? -1) + 1));
  for (let i = rows.length - 1, most = count - 1; i >= 0; i--, most--) rows[i] = Math.min(rows[i]!, most);
  return rows;
}

/** A line after the name of a note that is longer than the shortest. */
function putLength(
  canvas: Canvas,
  row: number,
  column: number,
  { onset, mark, role }: { onset: StepOnset; mark: string; role: TextRole },
): void {
  const name = topName(onset);
  put(canvas, row, column + name.length, mark.slice(0, Math.max(0, SLOT - 1 - name.length)), role);
}

/** The hold: after the landing, how many beats it is held. */
function putHold(canvas: Canvas, row: number, column: number, onset: StepOnset, holdBeats: number): void {
  const after = column + topName(onset).length + 1;
  put(canvas, row, after, holdText(holdBeats), 'strong');
}

/**
 * Dots with the beats of the bar: `|` is the first, the others have their number, with a colon where a group of beats
 * begins; `'` is a click inside a beat.
 */
function putRuler(
  canvas: Canvas,
  box: ContourBox,
  step: DrawnLine,
  {
    page,
    columns,
    beatOf,
  }: {
    page: Page;
    columns: readonly number[];
    beatOf?: ContourState['beatOf'];
  },
): void {
  const row = box.row + box.rows;
  put(canvas, row, box.column + 4, '.'.repeat(Math.max(0, box.width - 6)), 'dim');
  const from = step.line.onsets[page.first]!.tick;
  const to = step.line.onsets[page.last]!.tick;
  const { clicks, beats, pulse } = step.run;
  const mark = (tick: number, text: string, role: TextRole) => {
    if (tick >= from && tick <= to) put(canvas, row, columnOfTick(tick, step, page, columns), text, role);
  };
  if (pulse === 'free') return;
  for (const tick of beats) {
    const beat = beatOf?.(tick);
    const clicked = clicks.some((click) => click.tick === tick);
    const number = `${beat?.place ?? "'"}${beat && isGrouped(beat) && beat.opensGroup ? ':' : ''}`;
    mark(tick, beat?.place === 1 ? '|' : number, clicked ? 'strong' : 'dim');
  }
  for (const { tick, accent } of clicks) if (accent === 'division') mark(tick, "'", 'strong');
}

/** On the ruler, right after the note's place: L and R for the little fingers, alternates by a short name. */
function putFingers(
  canvas: Canvas,
  box: ContourBox,
  fingers: readonly string[],
  page: Page,
  columns: readonly number[],
): void {
  columns.forEach((column, i) => {
    const mark = fingers[page.first + i] ?? '';
    put(canvas, box.row + box.rows, column + 1, mark.slice(0, SLOT - 1), 'strong');
  });
}

function columnOfTick(tick: number, step: DrawnLine, page: Page, columns: readonly number[]): number {
  let i = page.first;
  while (i < page.last && step.line.onsets[i + 1]!.tick <= tick) i++;
  const here = columns[i - page.first]!;
  const next = columns[i + 1 - page.first];
  if (next === undefined) return here;
  const a = step.line.onsets[i]!.tick;
  const b = step.line.onsets[i + 1]!.tick;
  return Math.round(here + ((tick - a) / (b - a)) * (next - here));
}

function nameRole(verdicts: readonly (NoteVerdict | undefined)[], due: boolean): TextRole {
  if (verdicts.some((one) => one?.verdict === 'wrong' || one?.verdict === 'missed')) return 'slip';
  if (verdicts.length > 0 && verdicts.every((one) => one?.verdict === 'right' || one?.verdict === 'omitted'))
    return 'good';
  return due ? 'strong' : 'plain';
}

/** `+` right, `x` wrong, `-` missed, `^` due. */
function markOf(verdicts: readonly (NoteVerdict | undefined)[], due: boolean): string {
  if (verdicts.some((one) => one?.verdict === 'wrong')) return 'x';
  if (verdicts.some((one) => one?.verdict === 'missed')) return '-';
  if (verdicts.length > 0 && verdicts.every((one) => one?.verdict === 'right' || one?.verdict === 'omitted'))
    return '+';
  return due ? '^' : ' ';
}

/** `~` where a short note came between two. */
function putBlips(
  canvas: Canvas,
  box: ContourBox,
  blips: readonly number[],
  page: Page,
  columns: readonly number[],
): void {
  for (const before of blips) {
    if (before <= page.first || before > page.last) continue;
    const left = columns[before - 1 - page.first]!;
    const right = columns[before - page.first]!;
    put(canvas, box.row + box.rows + 1, Math.round((left + right) / 2), '~', 'slip');
  }
}

/** Milliseconds off, above the line when the interval was long, below when it was short, on it when in time. */
function putNeedles(
  canvas: Canvas,
  box: ContourBox,
  intervals: readonly IntervalVerdict[],
  page: Page,
  columns: readonly number[],
): void {
  const row = box.row + box.rows + 2;
  if (intervals.length === 0) return;
  put(canvas, row, box.column, 'long', 'dim');
  put(canvas, row + 1, box.column, 'even', 'dim');
  put(canvas, row + 2, box.column, 'short', 'dim');
  for (const interval of intervals) {
    if (interval.from < page.first || interval.to > page.last) continue;
    const left = columns[interval.from - page.first]!;
    const right = columns[interval.to - page.first]!;
    const middle = Math.round((left + right) / 2) + 1;
    if (interval.clean) {
      put(canvas, row + 1, middle, '=', 'good');
      continue;
    }
    const ms = Math.round(interval.deviationMicros / 1000);
    const text = `${ms > 0 ? '+' : ''}${ms}`;
    put(
      canvas,
      ms > 0 ? row : row + 2,
      middle - Math.floor(text.length / 2),
      text,
      ms > 0 ? 'late' : 'early',
    );
    put(canvas, row + 1, middle, '|', ms > 0 ? 'late' : 'early');
  }
}
