// An entry to and from its row. Steps stand once, at no tempo; the row has the tempo.

import type { DrillSettings } from '../drills/drill.ts';
import {
  dayOf,
  ENTRY_FORMAT,
  type Entry,
  type EntryHeading,
  type EntrySummary,
  eventsOf,
} from '../record/entry.ts';
import { stepFingerprint, takeFingerprint } from '../record/fingerprint.ts';
import type { PlayedTogether } from '../record/played-together.ts';
import type { KeptPlaying } from '../take/fold.ts';
import { columnBytes, type Database, type SqlRow, type SqlValue } from './database.ts';
import { readEvents, writeEvents } from './event-bytes.ts';

type AskedStep = Pick<KeptPlaying['terms'], 'run' | 'line'>;

type HeadingField = keyof EntryHeading;
export type SummaryField = keyof EntrySummary;

interface Field<T> {
  readonly columns: readonly (keyof TakeColumns)[];
  /** Undefined where the take does not have it. */
  readonly read: (row: SqlRow) => T | undefined;
}

/** How a field stands in a take's row. */
const HEADING: { readonly [F in HeadingField]-?: Field<EntryHeading[F]> } = {
  sitting: text('sitting'),
  order: number('place'),
  date: text('date'),
  player: text('player'),
  source: text('source'),
  passage: text('passage'),
  fingerprint: text('music'),
  selection: json('selection'),
  first: number('first'),
  last: number('last'),
  drill: text('drill'),
  step: number('step'),
  stepName: text('step_name'),
  stepFirst: number('step_first'),
  stepLast: number('step_last'),
  tempoBpm: number('tempo_bpm'),
  toleranceName: text('tolerance'),
  end: text('ended'),
  clean: flag('clean'),
  counted: flag('counted'),
  onward: flag('onward'),
  ladder: json('ladder'),
  together: { columns: ['section', 'together'], read: togetherOf },
  judge: number('judge'),
};
const SUMMARY: { readonly [F in SummaryField]-?: Field<EntrySummary[F]> } = {
  ...HEADING,
  verdict: json('verdict'),
};

export const HEADING_FIELDS = Object.keys(HEADING) as readonly HeadingField[];
export const SUMMARY_FIELDS = Object.keys(SUMMARY) as readonly SummaryField[];

export function columnsOf(fields: readonly SummaryField[]): readonly (keyof TakeColumns)[] {
  return fields.flatMap((field) => SUMMARY[field].columns);
}

export const ENTRY_COLUMNS = [...columnsOf(SUMMARY_FIELDS), 'rest', 'events'] as const;

/** A take as its row, but for the step that it was of. */
export interface TakeColumns {
  readonly fingerprint: string;
  readonly day: string;
  readonly part: string | null;
  readonly hand: string | null;
  readonly sitting: string;
  readonly place: number;
  readonly date: string;
  readonly player: string;
  readonly source: string;
  readonly passage: string;
  readonly music: string | null;
  readonly selection: string;
  readonly first: number;
  readonly last: number;
  readonly drill: string;
  readonly step: number;
  readonly step_name: string;
  readonly step_first: number | null;
  readonly step_last: number | null;
  readonly tempo_bpm: number;
  readonly tolerance: string;
  readonly ended: string;
  readonly clean: number;
  readonly counted: number;
  readonly onward: number;
  readonly ladder: string | null;
  readonly section: string | null;
  readonly together: string | null;
  readonly judge: number;
  readonly verdict: string | null;
  readonly rest: string;
  readonly events: Uint8Array;
}

/** Every column of a take but its number and its step's. */
export const TAKE_COLUMNS = ['fingerprint', 'day', 'part', 'hand', ...ENTRY_COLUMNS] as const;

const INSERT_TAKE = `INSERT OR IGNORE INTO take (${TAKE_COLUMNS.join(', ')}, asked)
  VALUES (${TAKE_COLUMNS.map(() => '?').join(', ')}, ?)`;

/** Whether it was not there before. A take that is there already stays as it is. */
export function insertTake(database: Database, entry: Entry): boolean {
  const { playing } = entry;
  const columns = takeColumns(entry);
  const asked = playing ? stepId(database, playing.terms) : null;
  return database.run(INSERT_TAKE, [...TAKE_COLUMNS.map((name): SqlValue => columns[name]), asked]) > 0;
}

function takeColumns(entry: Entry): TakeColumns {
  const { verdict, selection, ladder } = entry;
  return {
    fingerprint: takeFingerprint(entry),
    sitting: entry.sitting,
    place: entry.order,
    date: entry.date,
    day: dayOf(entry),
    player: entry.player,
    source: entry.source,
    passage: entry.passage,
    music: entry.fingerprint ?? null,
    part: selection.part ?? null,
    hand: selection.hand ?? null,
    selection: JSON.stringify(selection),
    first: entry.first,
    last: entry.last,
    drill: entry.drill,
    step: entry.step,
    step_name: entry.stepName,
    step_first: entry.stepFirst ?? null,
    step_last: entry.stepLast ?? null,
    tempo_bpm: entry.tempoBpm,
    tolerance: entry.toleranceName,
    ended: entry.end,
    clean: entry.clean ? 1 : 0,
    counted: entry.counted ? 1 : 0,
    onward: entry.onward ? 1 : 0,
    ladder: ladder ? JSON.stringify(ladder) : null,
    section: entry.together?.section ?? null,
    together: togetherText(entry),
    judge: entry.judge,
    verdict: verdict ? JSON.stringify(verdict) : null,
    rest: JSON.stringify(restOf(entry)),
    // A Buffer: the one form of bytes that both libraries bind.
    events: Buffer.from(writeEvents(eventsOf(entry))),
  };
}

/** The section's name has a column of its own. */
function togetherText({ together }: Entry): string | null {
  if (!together) return null;
  const { section: _, ...rest } = together;
  return JSON.stringify(rest);
}

export function replaceJudgement(database: Database, id: number, entry: Entry): void {
  const { clean, judge, verdict, rest } = takeColumns(entry);
  database.run('UPDATE take SET clean = ?, judge = ?, verdict = ?, rest = ? WHERE id = ?', [
    clean,
    judge,
    verdict,
    rest,
    id,
  ]);
}

/** What has no column of its own. The step has its row, the run's tempo is the take's, the events are bytes. */
function restOf({ settings, click, gate, sentence, earlier, playing, format1 }: Entry): object {
  const rest = { settings, click, gate, sentence, earlier };
  if (playing) {
    const { events: _, terms, ...came } = playing;
    const { run: __, line: ___, ...asked } = terms;
    return { ...rest, playing: { ...came, terms: asked } };
  }
  if (!format1) return rest;
  const { events: _, ...known } = format1;
  return { ...rest, format1: known };
}

function stepId(database: Database, { run, line }: AskedStep): number {
  const fingerprint = stepFingerprint(run, line);
  const known = () => database.all('SELECT id FROM step WHERE fingerprint = ?', [fingerprint])[0]?.id;
  const there = known();
  if (there !== undefined) return Number(there);
  database.run('INSERT OR IGNORE INTO step (fingerprint, body) VALUES (?, ?)', [
    fingerprint,
    JSON.stringify({ run, line }),
  ]);
  return Number(known());
}

/** Of a row that has the columns of these fields. */
export function summaryOf<F extends SummaryField>(row: SqlRow, fields: readonly F[]): Pick<EntrySummary, F> {
  const summary: Record<string, unknown> = {};
  for (const field of fields) {
    const value = SUMMARY[field].read(row);
    if (value !== undefined) summary[field] = value;
  }
  return summary as Pick<EntrySummary, F>;
}

function text<T extends string>(name: keyof TakeColumns): Field<T> {
  return column(name, (value) => String(value) as T);
}

function number(name: keyof TakeColumns): Field<number> {
  return column(name, Number);
}

function flag(name: keyof TakeColumns): Field<boolean> {
  return column(name, (value) => value === 1);
}

function json<T>(name: keyof TakeColumns): Field<T> {
  return column(name, (value) => JSON.parse(String(value)) as T);
}

function column<T>(name: keyof TakeColumns, read: (value: unknown) => T): Field<T> {
  return { columns: [name], read: (row) => (row[name] === null ? undefined : read(row[name])) };
}

function togetherOf(row: SqlRow): PlayedTogether | undefined {
  if (row.together === null) return undefined;
  return {
    section: String(row.section),
    ...(JSON.parse(String(row.together)) as Omit<PlayedTogether, 'section'>),
  };
}

/** What the drill was told, of a row's `rest`; undefined where it does not say. */
export function settingsIn(rest: string): DrillSettings | undefined {
  return (JSON.parse(rest) as { settings?: DrillSettings }).settings;
}

/** The whole entry, not yet checked; `step_body` is the step's. Throws on what no row of ours holds. */
export function entryOf(row: SqlRow): unknown {
  const bytes = columnBytes(row.events);
  if (!bytes) throw new Error('a row is not a take');
  const events = readEvents(bytes);
  const summary = summaryOf(row, SUMMARY_FIELDS);
  const { playing, format1, ...rest } = JSON.parse(String(row.rest));
  return {
    format: ENTRY_FORMAT,
    ...summary,
    ...rest,
    ...(playing
      ? {
          playing: {
            ...playing,
            terms: { ...atTempo(JSON.parse(String(row.step_body)), summary.tempoBpm), ...playing.terms },
            events,
          },
        }
      : {}),
    ...(format1 ? { format1: { ...format1, events } } : {}),
  };
}

function atTempo({ run, line }: AskedStep, bpm: number): AskedStep {
  return { run: { ...run, tempo: { ...run.tempo, bpm } }, line };
}
