// The columns of a listing: one for each onset of a part and for each beat on which nothing begins, and how they are
// broken into rows, between bars where a bar fits, else between beats.

import type { Bar } from '../../music/meter.ts';
import type { Onset } from '../../music/onset.ts';
import type { Passage } from '../../music/passage.ts';
import { numberedBeats } from '../../notation/choice/span.ts';

export interface ListedColumn {
  readonly tick: number;
  readonly bar: Bar;
  /** First column of its bar. */
  readonly opensBar: boolean;
  /** Number of the beat that begins here. */
  readonly beat?: number;
  /** The onset that begins here, with its number, if it has notes of the part. */
  readonly onset?: { readonly number: number; readonly onset: Onset };
}

/** The rows of the bars given, all of them unless told. */
export function rowsOf(
  passage: Passage,
  part: number,
  fitting: number,
  bars: readonly Bar[] = passage.bars,
): ListedColumn[][] {
  const most = Math.max(2, fitting);
  const rows: ListedColumn[][] = [];
  let row: ListedColumn[] = [];
  const flush = () => {
    if (row.length > 0) rows.push(row);
    row = [];
  };
  for (const bar of bars) {
    const columns = columnsOf(passage, part, bar);
    if (row.length + columns.length > most) flush();
    for (const [i, column] of columns.entries()) {
      const startsBeat = column.beat !== undefined;
      if (row.length >= most || (startsBeat && row.length + beatLength(columns, i) > most)) flush();
      row.push(column);
    }
  }
  flush();
  return rows;
}

/** Columns from a beat to the next one. */
function beatLength(columns: readonly ListedColumn[], from: number): number {
  const next = columns.findIndex((c, i) => i > from && c.beat !== undefined);
  return (next < 0 ? columns.length : next) - from;
}

function columnsOf(passage: Passage, part: number, bar: Bar): ListedColumn[] {
  const end = bar.startTick + bar.durationTicks;
  const beats = new Map(numberedBeats(bar).map(({ number, tick }) => [tick, number]));
  const onsets = new Map<number, { number: number; onset: Onset }>();
  for (let i = firstFrom(passage.onsets, bar.startTick); i < passage.onsets.length; i++) {
    const onset = passage.onsets[i]!;
    if (onset.tick >= end) break;
    if (onset.notes.some((n) => n.part === part)) onsets.set(onset.tick, { number: i + 1, onset });
  }
  const ticks = [...new Set([bar.startTick, ...beats.keys(), ...onsets.keys()])].sort((a, b) => a - b);
  return ticks.map((tick, i) => {
    const beat = beats.get(tick);
    const onset = onsets.get(tick);
    return {
      tick,
      bar,
      opensBar: i === 0,
      ...(beat === undefined ? {} : { beat }),
      ...(onset === undefined ? {} : { onset }),
    };
  });
}

function firstFrom(onsets: readonly Onset[], tick: number): number {
  let low = 0;
  let high = onsets.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (onsets[middle]!.tick < tick) low = middle + 1;
    else high = middle;
  }
  return low;
}
