import { beatAt, beatGrid } from '../drills/beat-grid.ts';
import { linePlan } from '../fingering/line-plan.ts';
import type { NoteVerdict } from '../matching/alignment.ts';
import type { Frame, TerminalSize } from '../ports/terminal.ts';
import { isSeveral } from '../session/attendance.ts';
import { comingRun } from '../session/coming.ts';
import { ladderOf } from '../session/rung.ts';
import { runThroughOf, type Session, shownResult, takeOf } from '../session/session.ts';
import { bpmInForce, stepInForce } from '../session/step-in-force.ts';
import { hearingOf, type LineTake } from '../take/take.ts';
import { clickWords } from '../wording/click.ts';
import { stepTitle } from '../wording/counted.ts';
import { percent } from '../wording/figures.ts';
import { fingeringMarksByOnset } from '../wording/fingering.ts';
import { standingWords } from '../wording/step-standing.ts';
import { type Canvas, newCanvas, put, putSides, toFrame } from './canvas.ts';
import { type ContourState, type DrawnLine, putContour } from './contour.ts';
import { keyHint } from './keymap.ts';
import { type Layout, layoutOf, sectionLayout } from './layout.ts';
import { putSection, sectionKeyHint } from './section-rows.ts';
import { putStage } from './stage.ts';
import { putSummary } from './summary.ts';
import { putWords } from './verdict-words.ts';

export interface DrawOptions {
  /** Characters beyond ASCII may be used. */
  readonly unicode: boolean;
  /** Where the playing comes from. */
  readonly source: string;
  /** The computer keyboard is the instrument: the letter of each sounding pitch. */
  readonly letters?: ReadonlyMap<number, string>;
}

export function draw(session: Session, size: TerminalSize, options: DrawOptions): Frame {
  const canvas = newCanvas(size);
  const several = isSeveral(session);
  const layout = several ? sectionLayout(size, session.plan.players.length) : layoutOf(size);
  putHeader(canvas, session, options, layout);
  const finished = session.stage.kind === 'finished';
  if (finished) putSummary(canvas, session, layout.bodyRow, size.rows - (layout.keys ? 3 : 1));
  else if (several) putSection(canvas, session, options.unicode, layout);
  else putWork(canvas, session, options, layout);
  if (layout.keys) {
    const keys = finished
      ? 'any key leaves'
      : several
        ? sectionKeyHint(size.columns - 1)
        : keyHint(size.columns - 1, options.letters !== undefined);
    put(canvas, size.rows - 1, 1, keys, 'dim');
  }
  return toFrame(canvas);
}

/** While a landing is held, the header is still that of the step just played. */
function putHeader(canvas: Canvas, session: Session, options: DrawOptions, { headerRows }: Layout): void {
  const { shown, now } = session;
  const held = shown && now < shown.untilMicros && takeOf(session) ? shown : undefined;
  const { index, gate } = held ?? session;
  const ladder = held ? held.ladder : ladderOf(session);
  const { run } = held?.take ?? stepInForce(session);
  const { tolerance } = session.plan;
  const { title } = session.plan.span.passage;
  const name = stepTitle(session.steps[index]!.drill, run.name);
  const place = `step ${index + 1} of ${session.steps.length}`;
  const progress = standingWords({
    gate,
    ladder,
    runThrough: runThroughOf(session),
  });
  const brief = progress.replace(/ \[.*\]$/, '');
  const tempo = `${bpmInForce(run)} a minute`;
  const strong = { left: 'strong', right: 'strong' } as const;
  if (headerRows === 1) {
    putSides(canvas, 0, [[name, brief]], strong);
    return;
  }
  if (headerRows === 2) {
    putSides(canvas, 0, [[name, place]], strong);
    putSides(
      canvas,
      1,
      [
        [tempo, progress],
        [tempo, brief],
        ['', brief],
      ],
      strong,
    );
    return;
  }
  putSides(canvas, 0, [[title, place]], { left: 'title', right: 'strong' });
  putSides(
    canvas,
    1,
    [
      [name, progress],
      [name, brief],
    ],
    strong,
  );
  const limits = `${tolerance.floorMicros / 1000} ms or ${percent(tolerance.share)}`;
  const click = clickWords(run, session.steps[index]!.click);
  const strictness = `${[tempo, ...(click === undefined ? [] : [click])].join(', ')}, ${tolerance.name}`;
  putSides(
    canvas,
    2,
    [
      [`${strictness} (${limits})`, options.source],
      [strictness, options.source],
      [`${strictness} (${limits})`, ''],
      [strictness, ''],
    ],
    { left: 'dim', right: 'dim' },
  );
}

function putWork(canvas: Canvas, session: Session, options: DrawOptions, layout: Layout): void {
  putStage(canvas, session, { unicode: options.unicode, layout });
  const { drawn, state } = pictureOf(session);
  const { bodyRow, bodyRows, countColumns, underNames } = layout;
  const rows = bodyRows - underNames;
  const width = canvas.size.columns - countColumns;
  if (rows > 0 && width > 0) {
    const fingering = linePlan(session.plan, drawn.line, drawn.run.tempo);
    const fingers = fingering ? fingeringMarksByOnset(fingering, drawn.line.onsets.length) : [];
    const box = { row: bodyRow, column: countColumns, width, rows, under: underNames };
    const grid = beatGrid(session.plan.span.passage);
    const beatOf = (tick: number) => beatAt(grid, tick);
    const { letters } = options;
    putContour(canvas, box, drawn, { ...state, fingers, beatOf, ...(letters ? { letters } : {}) });
  }
  putWords(canvas, session, layout);
}

/** What is drawn: the run that is coming while a landing is held, the last verdict, or what is to be played now. */
function pictureOf(session: Session): { readonly drawn: DrawnLine; readonly state: ContourState } {
  const coming = comingRun(session);
  if (coming) return { drawn: coming.lines[0]!.terms, state: UNPLAYED };
  const shown = shownOf(session);
  if (shown) return { drawn: shown.take.lines[shown.player]!.terms, state: shownState(shown) };
  const line = takeOf(session)?.lines[0];
  if (line) return { drawn: line.terms, state: runState(line) };
  const { run, lines } = stepInForce(session);
  return { drawn: { run, line: lines[0]! }, state: UNPLAYED };
}

const UNPLAYED: ContourState = { notes: [], intervals: [], blips: [], position: 0 };

/** The last verdict stays until the next run begins, or until its hold is over when the step is another. */
function shownOf({ shown, stage, now }: Session): Session['shown'] {
  if (!shown) return undefined;
  switch (stage.kind) {
    case 'held':
    case 'resting':
      return now < shown.untilMicros ? shown : undefined;
    case 'lead-in':
    case 'waiting':
    case 'entering':
    case 'ready':
    case 'paused':
      return shown.onward ? undefined : shown;
    default:
      return undefined;
  }
}

function shownState(shown: NonNullable<Session['shown']>): ContourState {
  const { verdict } = shownResult(shown);
  return {
    notes: verdict.notes,
    intervals: verdict.intervals,
    blips: verdict.extras.flatMap(({ kind, before }) => (kind === 'blip' ? [before] : [])),
    position: firstSlip(verdict.notes),
  };
}

function firstSlip(notes: readonly NoteVerdict[]): number {
  return notes.find((one) => one.verdict === 'wrong' || one.verdict === 'missed')?.onset ?? 0;
}

function runState(line: LineTake): ContourState {
  const { follower } = hearingOf(line);
  return {
    notes: follower?.committed ?? [],
    intervals: [],
    blips: [],
    position: follower?.position ?? 0,
  };
}
