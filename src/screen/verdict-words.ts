// The words under the contour: the sentence of the last verdict or why it is paused, what comes next, and a notice.

import { isGuided, stepEntry, taskDrill } from '../session/guidance.ts';
import { type Session, shownReport, shownResult, takeOf, waitsFor } from '../session/session.ts';
import { isCountedIn, isJoined } from '../take/take.ts';
import { asSentence } from '../wording/counted.ts';
import { expectedNames } from '../wording/note-names.ts';
import { noticeWords } from '../wording/notice.ts';
import { pauseSentence } from '../wording/pause.ts';
import { entryWords, taskWords } from '../wording/practice.ts';
import { takeSentence } from '../wording/sentence.ts';
import { textWidth } from '../wording/text-width.ts';
import { timingRemark } from '../wording/timing-report.ts';
import { type Canvas, put, putWrapped, wrap } from './canvas.ts';
import type { Layout } from './layout.ts';

/** Rows from the sentence to what comes next, and from there to a notice, where there is room. */
const NEXT_AFTER = 2;
const NOTICE_AFTER = 3;

/** The sentence is whole before anything else gets a row. */
export function putWords(canvas: Canvas, session: Session, { wordsRow, wordsRows }: Layout): void {
  const width = canvas.size.columns - 2;
  const end = wordsRow + wordsRows;
  const { now, stage } = session;
  const notice = session.notice && noticeWords(session.notice);
  const shown = stage.kind === 'paused' ? undefined : session.shown;
  let row = wordsRow;
  if (stage.kind === 'paused') {
    const words = pauseSentence(waitsFor(session, stage.reason));
    row += putWrapped(canvas, row, 1, words, { width, rows: wordsRows, role: 'strong' });
  } else if (shown) {
    const { clean } = shownResult(shown);
    const words = `${clean ? '+' : 'x'} ${takeSentence(shownReport(shown), session.plan.span.passage)}`;
    row += putWrapped(canvas, row, 1, words, { width, rows: wordsRows, role: clean ? 'good' : 'slip' });
  }
  // Before the first take what is to be done comes first, and a notice gets what room is left.
  const first = shown ? 0 : Math.min(wordsRows, wrap(guidanceOf(session)[0] ?? '', width).length);
  const noticeRows = notice === undefined ? 0 : Math.min(wrap(notice, width).length, wordsRows - first);
  if (shown && now < shown.untilMicros) {
    const next = wrap(whatNext(session), width);
    const usual = Math.max(row, wordsRow + NEXT_AFTER);
    const at = usual + next.length + noticeRows <= end ? usual : row;
    const fits = at + next.length + noticeRows <= end;
    if (fits) for (const [i, line] of next.entries()) put(canvas, at + i, 1, line, 'strong');
    const after = fits ? at + next.length : row;
    // Under the sentence where that left a row, else under what comes next where no notice wants it.
    const free = row < at ? row : notice === undefined && after < end ? after : undefined;
    const remark = remarkOn(shown);
    if (free !== undefined && remark !== undefined && textWidth(remark) <= width)
      put(canvas, free, 1, remark, 'dim');
    row = after;
  }
  row = putGuidance(canvas, session, {
    row,
    usual: shown ? wordsRow + NEXT_AFTER : row,
    end: end - noticeRows,
  });
  if (notice === undefined) return;
  const usual = Math.max(row, wordsRow + NOTICE_AFTER);
  const at = usual + noticeRows <= end ? usual : Math.max(row, end - noticeRows);
  putWrapped(canvas, at, 1, notice, { width, rows: end - at, role: 'strong' });
}

/** Before the first note: what the drill asks for and where to enter, as much as there is room for whole. */
function putGuidance(
  canvas: Canvas,
  session: Session,
  { row, usual, end }: { readonly row: number; readonly usual: number; readonly end: number },
): number {
  const width = canvas.size.columns - 2;
  for (const words of guidanceOf(session)) {
    const rows = wrap(words, width).length;
    const at = [Math.max(row, usual), row].find((one) => one + rows <= end);
    if (at !== undefined) return at + putWrapped(canvas, at, 1, words, { width, rows, role: 'strong' });
  }
  return row;
}

/** The longest first; nothing where there is none. */
function guidanceOf(session: Session): string[] {
  if (!isGuided(session)) return [];
  const entry = asSentence(entryWords(stepEntry(session)));
  const drill = taskDrill(session);
  return [...(drill === undefined ? [] : [`${taskWords(drill)} ${entry}`]), entry];
}

/** What else was measured, in a line. */
function remarkOn(shown: NonNullable<Session['shown']>): string | undefined {
  const { run, line } = shown.take.lines[shown.player]!.terms;
  const names = expectedNames(line);
  const inWrittenOrder = line.onsets.every(
    ({ number }, i) => i === 0 || number === line.onsets[i - 1]!.number + 1,
  );
  return timingRemark(
    shownResult(shown).verdict,
    { ...line, tempo: run.tempo },
    (onset) => names[onset]!.at(-1)!,
    {
      slurs: inWrittenOrder,
    },
  );
}

function whatNext(session: Session): string {
  const { shown } = session;
  const take = takeOf(session);
  if (!shown || !take) return '';
  const change = tempoWords(take.run.tempo.bpm, shown.take.run.tempo.bpm);
  const entry = isJoined(take)
    ? ': strike the landing again and go on'
    : isCountedIn(take)
      ? ', after the lead-in'
      : ', when you like';
  return `${change}${shown.onward ? `On to "${take.run.name}"` : 'Again'}${entry}.`;
}

function tempoWords(bpm: number, before: number): string {
  if (bpm === before) return '';
  return `${bpm > before ? 'Faster' : 'Slower'}: ${bpm}. `;
}
