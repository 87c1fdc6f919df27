// Several players on the screen: a row for each (how it stands with them, their notes, right so far, where it broke, early
// or late), the sum of the section under them, then what they should hear: the section's sentence, and as many players'
// own as there is room for.

import { beatAt, beatGrid } from '../drills/beat-grid.ts';
import { barName } from '../drills/place-name.ts';
import type { NoteVerdict } from '../matching/alignment.ts';
import type { TextRole } from '../ports/terminal.ts';
import type { Attendance } from '../record/played-together.ts';
import { attendanceOf } from '../session/attendance.ts';
import { isGuided, stepEntry } from '../session/guidance.ts';
import { isTaking, type Session, takeOf, waitsFor } from '../session/session.ts';
import { mean } from '../statistics.ts';
import { hearingOf, type LineTake, type Take } from '../take/take.ts';
import { tickMicros } from '../take/take-times.ts';
import { asSentence, lowered } from '../wording/counted.ts';
import { noticeWords } from '../wording/notice.ts';
import { pauseSentence } from '../wording/pause.ts';
import { entryWords } from '../wording/practice.ts';
import { playerLines, sectionSentence, sectionSum } from '../wording/section.ts';
import { cutToWidth, textWidth } from '../wording/text-width.ts';
import { COUNT_ROWS } from './beat-count.ts';
import { type Canvas, put, putRight, putWrapped } from './canvas.ts';
import { fitHints, type Hint } from './key-hints.ts';
import type { Layout } from './layout.ts';
import { putStageLine } from './stage.ts';

const KEY_HINTS: readonly Hint[] = [
  ['space pause', 1],
  ['enter again', 4],
  ['right skip', 5],
  ['left back', 9],
  ['up/down tempo', 7],
  [', . or 1-9 a player:', 2],
  ['m mute', 2],
  ['e excuse', 2],
  ['f focus', 2],
  ['p part', 6],
  ['r replay', 10],
  ['? help', 8],
  ['q leave', 0],
];

export function sectionKeyHint(width: number): string {
  return fitHints(KEY_HINTS, width);
}

/** How it stands with somebody, in a word that fits its column. */
const STATE_WORDS: Record<Attendance, string> = {
  counted: '',
  excused: 'excused',
  aside: 'aside',
  away: 'AWAY',
  'left-out': 'unheard',
  muted: 'muted',
};

/** Everything that one row tells. */
interface Row {
  readonly name: string;
  readonly attendance: Attendance;
  readonly pointed: boolean;
  readonly focused: boolean;
  /** A character for each onset. */
  readonly marks: string;
  /** The last of them is held. */
  readonly landing: boolean;
  readonly right: number;
  readonly of: number;
  /** Where it broke first; empty where it did not. */
  readonly broke: string;
  /** Positive: late, against the others after a take, against the click while it is played. */
  readonly lateMicros?: number;
  readonly mark: '+' | 'x' | ' ';
}

export function putSection(canvas: Canvas, session: Session, unicode: boolean, layout: Layout): void {
  const { bodyRow, bodyRows, wordsRow, wordsRows, largeCount: large } = layout;
  putStageLine(canvas, session, bodyRow, { unicode, large });
  const rows = session.plan.players.map((_, player) => rowOf(session, player));
  // The first rows are the stage's, the last the sum's.
  const stageRows = large ? COUNT_ROWS + 1 : 1;
  const free = bodyRows - stageRows - 1;
  const spacing = Math.max(1, Math.min(MOST_SPACING, Math.floor((free + 1) / rows.length)));
  const nameWidth = nameWidthOf(rows, canvas.size.columns);
  rows.slice(0, free).forEach((row, i) => {
    const at = bodyRow + stageRows + i * spacing;
    // From three rows on one of them keeps the players apart.
    const high = Math.min(spacing >= 3 ? spacing - 1 : spacing, bodyRow + bodyRows - 1 - at);
    putRow(canvas, at, row, { nameWidth, high });
  });
  put(canvas, bodyRow + bodyRows - 1, 1, sumOf(session, rows), 'strong');
  putSectionWords(canvas, session, wordsRow, wordsRows);
}

/** A player's marks, at most so many rows less one high. */
const MOST_SPACING = 5;

/** As the longest name needs, as long as there is room for the marks. */
function nameWidthOf(rows: readonly Row[], columns: number): number {
  const longest = Math.max(...rows.map(({ name }) => textWidth(name)));
  const onsets = Math.max(...rows.map(({ marks }) => marks.length));
  const usual = columns >= 110 ? 22 : columns >= 70 ? 18 : 8;
  // What a mark for each onset leaves.
  const spare = columns - tailWidthOf(columns) - BESIDE_NAME - onsets;
  return Math.min(longest, Math.max(usual, spare));
}

/** Pointer and mark before the name, the state and the spaces around it after it. */
const BESIDE_NAME = 3 + 1 + 8 + 1;

/** Right so far 5, where it broke 11, early or late 9. */
function tailWidthOf(columns: number): number {
  return columns >= 70 ? 28 : 8;
}

function putRow(
  canvas: Canvas,
  at: number,
  row: Row,
  { nameWidth, high }: { readonly nameWidth: number; readonly high: number },
): void {
  const { columns } = canvas.size;
  const role: TextRole = row.mark === '+' ? 'good' : row.mark === 'x' ? 'slip' : 'strong';
  const dim = row.attendance !== 'counted';
  put(canvas, at, 0, row.pointed ? '>' : ' ', 'selected');
  put(canvas, at, 1, row.mark, role);
  put(canvas, at, 3, cutToWidth(row.name, nameWidth), dim ? 'dim' : 'strong');
  const state = row.focused ? 'FOCUS' : STATE_WORDS[row.attendance];
  const stateAt = 3 + nameWidth + 1;
  put(canvas, at, stateAt, state, row.attendance === 'away' ? 'slip' : 'dim');
  const laneAt = stateAt + 8;
  const laneWidth = columns - laneAt - tailWidthOf(columns) - 1;
  if (laneWidth > 0) {
    const lane = fitMarks(row, laneWidth);
    // Seen from further away where there is room.
    for (let line = 0; line < high; line += 1)
      [...lane].forEach((mark, i) => {
        put(canvas, at + line, laneAt + i, mark, MARK_ROLES[mark] ?? 'dim');
      });
  }
  const late = row.lateMicros === undefined ? '' : lateWords(row.lateMicros);
  const count = (row.of === 0 ? '' : `${row.right}/${row.of}`).padStart(5);
  const tail = columns >= 70 ? `${count} ${row.broke.padEnd(10)} ${late.padStart(9)}` : late;
  putRight(canvas, at, tail, row.broke === '' ? 'plain' : 'slip', 0);
}

const MARK_ROLES: Readonly<Record<string, TextRole>> = { '+': 'good', x: 'slip', '-': 'slip', '!': 'late' };

/** Wide enough to be seen across a room. */
const WIDEST_MARK = 6;

/**
 * As many marks as there are cells: of those that share a cell the worst is seen; few are drawn wider, and then a landing
 * is in brackets.
 */
function fitMarks({ marks, landing }: Pick<Row, 'marks' | 'landing'>, width: number): string {
  if (marks.length === 0) return '';
  const each = Math.min(WIDEST_MARK, Math.floor(width / marks.length));
  if (each >= 1) {
    const all = [...marks].map((mark) => mark.repeat(each)).join('');
    return landing && each >= 3 ? `${all.slice(0, -each)}[${all.slice(1 - each, -1)}]` : all;
  }
  return Array.from({ length: width }, (_, i) => {
    const share = marks.slice(
      Math.floor((i * marks.length) / width),
      Math.max(Math.floor((i * marks.length) / width) + 1, Math.floor(((i + 1) * marks.length) / width)),
    );
    return [...'x-!.+'].find((mark) => share.includes(mark)) ?? '.';
  }).join('');
}

function lateWords(micros: number): string {
  const ms = Math.round(micros / 1000);
  return ms === 0 ? 'on time' : `${Math.abs(ms)} ${ms > 0 ? 'late' : 'early'}`;
}

/** The take that is judged stays until the next one begins to be played. */
function shownOf({ shown, stage, now }: Session): Session['shown'] {
  if (!shown?.section) return undefined;
  if (stage.kind === 'held' || stage.kind === 'resting') return now < shown.untilMicros ? shown : undefined;
  return isTaking(stage) && ['playing', 'slipped', 'entering'].includes(stage.kind) ? undefined : shown;
}

function rowOf(session: Session, player: number): Row {
  const { name } = session.plan.players[player]!;
  const seat = {
    name,
    attendance: attendanceOf(session, player),
    pointed: session.pointed === player,
    focused: session.focus === player,
  };
  // Who is not listened to has nothing to show.
  if (seat.attendance === 'muted')
    return { ...seat, marks: '', landing: false, right: 0, of: 0, broke: '', mark: ' ' };
  const shown = shownOf(session);
  if (shown?.section) {
    const { verdict, takes } = shown.section;
    const own = verdict.players[player]!;
    const place = verdict.together.players.find((one) => one.player === name);
    const grid = beatGrid(session.plan.span.passage);
    return {
      ...seat,
      marks: marksOf(takes[player]!.verdict.notes, own.of),
      landing: landsOn(shown.take, player),
      right: own.right,
      of: own.of,
      broke:
        own.brokeTick === undefined || !verdict.keepsBeat || own.silent
          ? ''
          : `${barName(beatAt(grid, own.brokeTick).bar)}.${beatAt(grid, own.brokeTick).place}`,
      ...(place?.leadMicros === undefined ? {} : { lateMicros: place.leadMicros }),
      mark: own.clean ? '+' : 'x',
    };
  }
  const take = takeOf(session);
  const line = take?.lines[player];
  const of = line?.terms.line.onsets.length ?? 0;
  const notes = (line && hearingOf(line).follower?.committed) ?? [];
  const marks = marksOf(notes, of);
  const late = line && lateSoFar(session, line);
  return {
    ...seat,
    marks,
    landing: take !== undefined && landsOn(take, player),
    right: [...marks].filter((mark) => mark === '+').length,
    of,
    broke: '',
    ...(late === undefined ? {} : { lateMicros: late }),
    mark: marks.includes('x') || marks.includes('-') ? 'x' : ' ',
  };
}

/** Where the run stops on an onset of this player's. */
function landsOn({ run, lines }: Take, player: number): boolean {
  return run.landing && lines[player]!.terms.line.onsets.at(-1)?.tick === run.stopTick;
}

/** By onset: right, wrong, missed, or not yet. */
function marksOf(notes: readonly (NoteVerdict | undefined)[], of: number): string {
  const marks = Array<string>(of).fill('.');
  for (const note of notes) {
    if (!note || note.onset >= of) continue;
    const mark =
      note.verdict === 'right' ? '+' : note.verdict === 'wrong' ? 'x' : note.verdict === 'missed' ? '-' : '.';
    if (marks[note.onset] === '.' || mark === 'x' || mark === '-') marks[note.onset] = mark;
  }
  return marks.join('');
}

/** The last notes count: where a player stands now. */
const LAST_NOTES = 4;

function lateSoFar(session: Session, line: LineTake): number | undefined {
  const take = takeOf(session);
  const { follower } = hearingOf(line);
  if (!take || !follower || take.run.pulse === 'free') return undefined;
  const { onsets } = line.terms.line;
  const offsets = follower.committed.flatMap((note) => {
    const played =
      note?.verdict === 'right' && note.played !== undefined ? follower.played[note.played] : undefined;
    return played
      ? [played.onMicros - tickMicros(take, onsets[note!.onset]!.tick) - line.terms.lagMicros]
      : [];
  });
  return offsets.length === 0 ? undefined : mean(offsets.slice(-LAST_NOTES));
}

function sumOf(session: Session, rows: readonly Row[]): string {
  const shown = shownOf(session);
  if (shown?.section) return `${sectionSum(shown.section.verdict)}.`;
  const counted = rows.filter(({ attendance }) => attendance === 'counted');
  const right = counted.reduce((sum, row) => sum + row.right, 0);
  const of = counted.reduce((sum, row) => sum + row.of, 0);
  return `${counted.length} of ${rows.length} counted, ${right} of ${of} onsets right.`;
}

function putSectionWords(canvas: Canvas, session: Session, first: number, rows: number): void {
  const width = canvas.size.columns - 2;
  const end = first + rows;
  const { stage, notice } = session;
  const { passage } = session.plan.span;
  let row = first;
  const write = (text: string, role: TextRole, most = end - row) => {
    if (row < end) row += putWrapped(canvas, row, 1, text, { width, rows: most, role });
  };
  const told = notice === undefined ? undefined : noticeWords(notice);
  // What was asked for in a pause is read now; while they play it shares the rows with what was said of the take.
  const isAsked = stage.kind === 'paused' && told !== undefined;
  if (stage.kind === 'paused') {
    const waits = waitsFor(session, stage.reason);
    // That it is paused by choice stands in the stage's row.
    if (!isAsked || waits.by !== 'player') write(pauseSentence(waits), 'strong');
  }
  if (isAsked) write(told, 'strong');
  const report = session.shown?.section;
  const sentence = report && sectionSentence(report, passage);
  if (report) {
    const { clean } = report.verdict;
    write(
      `${clean ? '+' : 'x'} ${sentence}`,
      clean ? 'good' : 'slip',
      told !== undefined && !isAsked && end - row < 4 ? 1 : Math.min(2, end - row),
    );
  }
  if (told !== undefined && !isAsked) write(told, 'strong');
  if (!report) {
    if (isGuided(session)) write(asSentence(entryWords(stepEntry(session))), 'strong');
    return;
  }
  // What the section's sentence has said of one is not said twice here, where rows are few.
  const lines = playerLines(report, passage).filter(({ words }) => !sentence!.endsWith(lowered(words)));
  for (const [i, { name, words, clean }] of lines.entries()) {
    if (row >= end) return;
    const others = lines.length - i - 1;
    write(`${clean ? '+' : 'x'} ${name}: ${words}`, 'plain', Math.max(1, end - row - others));
  }
}
