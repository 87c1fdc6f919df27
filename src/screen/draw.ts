import { beatAt, beatGrid } from '../drills/beat-grid.ts';
import { beatOfClick } from '../drills/click-track.ts';
import { linePlan } from '../fingering/line-plan.ts';
import type { NoteVerdict } from '../matching/alignment.ts';
import type { Frame, TerminalSize, TextRole } from '../ports/terminal.ts';
import { FLASH_MICROS } from '../session/advance.ts';
import { comingRun, holdBeatsLeft } from '../session/coming.ts';
import { ladderOf } from '../session/rung.ts';
import { runThroughOf, type Session, type Stage, shownResult, takeOf } from '../session/session.ts';
import { bpmInForce, stepInForce } from '../session/step-in-force.ts';
import { hearingOf, type LineTake } from '../take/line-take.ts';
import { type Take, tickMicros } from '../take/take.ts';
import { clickWords } from '../wording/click.ts';
import { stepTitle } from '../wording/counted.ts';
import { fingeringMarksByOnset } from '../wording/fingering.ts';
import { standingWords } from '../wording/step-standing.ts';
import { COUNT_ROWS, putCount } from './beat-count.ts';
import { type Canvas, newCanvas, put, putSides, toFrame } from './canvas.ts';
import { type ContourState, type DrawnLine, putContour } from './contour.ts';
import { keyHint } from './keymap.ts';
import { type Layout, layoutOf } from './layout.ts';
import { putSummary } from './summary.ts';
import { putWords } from './verdict-words.ts';

export interface DrawOptions {
  /** Characters beyond ASCII may be used. */
  readonly unicode: boolean;
  /** Where the playing comes from. */
  readonly source: string;
  /** Letters are notes: the computer keyboard is the instrument. */
  readonly lettersPlay?: boolean;
}

export function draw(session: Session, size: TerminalSize, options: DrawOptions): Frame {
  const canvas = newCanvas(size);
  const layout = layoutOf(size);
  putHeader(canvas, session, options, layout);
  const finished = session.stage.kind === 'finished';
  if (finished) putSummary(canvas, session, layout.bodyRow, size.rows - (layout.keys ? 3 : 1));
  else putWork(canvas, session, options, layout);
  if (layout.keys) {
    const keys = finished ? 'any key leaves' : keyHint(size.columns - 1, options.lettersPlay);
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
  const limits = `${tolerance.floorMicros / 1000} ms or ${Math.round(tolerance.share * 100)} %`;
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
    putContour(canvas, box, drawn, { ...state, fingers, beatOf });
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

const STAGE_WORDS: Record<Stage['kind'], string> = {
  ready: 'ready',
  waiting: 'ready',
  listening: 'listen',
  'lead-in': 'lead-in',
  entering: 'enter',
  playing: 'play',
  slipped: 'stop',
  held: 'hold',
  resting: 'rest',
  paused: 'paused',
  finished: 'done',
};

function putStage(
  canvas: Canvas,
  session: Session,
  { unicode, layout }: { unicode: boolean; layout: Layout },
): void {
  const { bodyRow, bodyRows, largeCount } = layout;
  if (bodyRows < 1) return;
  const { kind } = session.stage;
  const role: TextRole = kind === 'slipped' ? 'slip' : kind === 'lead-in' ? 'early' : 'strong';
  const wordRow = largeCount ? bodyRow + COUNT_ROWS + 1 : bodyRow;
  const column = largeCount ? 2 : 1;
  put(canvas, wordRow, column, STAGE_WORDS[kind].toUpperCase(), role);
  if (comingRun(session) && wordRow + 2 < bodyRow + bodyRows)
    put(canvas, wordRow + 2, column, 'coming:', 'strong');
  const click = lastClick(session);
  const count = holdBeatsLeft(session) ?? click?.beat;
  if (count === undefined || kind === 'paused') return;
  const flash = click !== undefined && session.now - click.atMicros < FLASH_MICROS;
  const light = `${flash ? (unicode ? '●' : '(*)') : '   '}${click?.inside ? ' and' : ''}`;
  if (largeCount) {
    putCount(canvas, bodyRow, 2, count, { role: flash ? 'click' : 'plain', block: unicode ? '█' : '#' });
    put(canvas, wordRow + 1, 2, light, 'click');
  } else if (bodyRows >= 2) put(canvas, wordRow + 1, 1, `${count} ${light}`, flash ? 'click' : 'plain');
}

/**
 * The last click, in the take's lead-in or run, or in the hold of the take before: the beat that it is on, or inside
 * of where the click stands between the beats.
 */
function lastClick(session: Session): { atMicros: number; beat: number; inside: boolean } | undefined {
  const takes = [takeOf(session), session.shown?.take].filter((one): one is Take => one !== undefined);
  for (const take of takes) {
    const before = take.run.clicks.findLast((click) => tickMicros(take, click.tick) <= session.now);
    if (before && tickMicros(take, before.tick) >= take.beginMicros - 1) {
      return {
        atMicros: tickMicros(take, before.tick),
        beat: beatOfClick(beatGrid(session.plan.span.passage), take.run.startTick, before.tick).place,
        inside: before.accent === 'division',
      };
    }
  }
  return undefined;
}

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
