// The screen of a session: a pure function of the session and the size. Laid out for 80 x 24 and up; `layoutOf` says what
// gives way in smaller ones. Meaning is never carried by colour alone.

import type { Gate } from '../coaching/gate.ts';
import type { Ladder } from '../coaching/ladder.ts';
import { beatAt, beatGrid } from '../drills/beat-grid.ts';
import type { NoteVerdict } from '../matching/alignment.ts';
import type { Frame, TerminalSize, TextRole } from '../ports/terminal.ts';
import { FLASH_MICROS, type Session } from '../session/session.ts';
import { stepInForce } from '../session/stages.ts';
import { hearingOf, type LineTake } from '../take/line-take.ts';
import { hasSlipped, isUnbegun, stopMicros, type Take, tickMicros } from '../take/take.ts';
import { stepTitle } from '../wording/counted.ts';
import { COUNT_ROWS, putCount } from './beat-count.ts';
import { type Canvas, newCanvas, put, putSides, toFrame } from './canvas.ts';
import { type ContourState, putContour } from './contour.ts';
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
  const finished = session.status === 'finished';
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
  const held = shown && now < shown.untilMicros && session.status === 'playing' ? shown : undefined;
  const { index, gate, ladder } = held ?? session;
  const { run } = held?.take ?? stepInForce(session);
  const { tolerance } = session.plan;
  const { title } = session.plan.span.passage;
  const name = stepTitle(session.steps[index]!.drill, run.name);
  const place = `step ${index + 1} of ${session.steps.length}`;
  const progress = progressWords(session, { index, gate, ladder });
  const brief = progress.replace(/ \[.*\]$/, '');
  const tempo = `${run.tempo.bpm} a minute`;
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
  const strictness = `${tempo}, ${tolerance.name}`;
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

function progressWords(
  { plan, tallies }: Session,
  now: { readonly index: number; readonly gate: Gate; readonly ladder?: Ladder | undefined },
): string {
  if (plan.runThroughs !== undefined) {
    return `run-through ${Math.min(plan.runThroughs, tallies[now.index]!.takes + 1)} of ${plan.runThroughs}`;
  }
  return now.ladder ? ladderWords(now.ladder) : gateWords(now.gate);
}

function gateWords({ passes, cleanInARow }: Gate): string {
  const done = Math.min(passes, cleanInARow);
  return `clean ${cleanInARow} of ${passes} [${'#'.repeat(done)}${'.'.repeat(passes - done)}]`;
}

function ladderWords({ rung, rungs, cleanInRow, plan, done }: Ladder): string {
  return done
    ? `top rung held (${rungs.length} of ${rungs.length})`
    : `rung ${rung + 1} of ${rungs.length}, clean ${cleanInRow} of ${plan.up}`;
}

function putWork(canvas: Canvas, session: Session, options: DrawOptions, layout: Layout): void {
  const stage = stageOf(session);
  putStage(canvas, session, stage, { unicode: options.unicode, layout });
  const shown = shownOf(session, stage);
  const picture = shown ? shown.take : session.take;
  const drawn = picture?.lines[shown?.player ?? 0];
  const { bodyRow, bodyRows, countColumns, underNames } = layout;
  const rows = bodyRows - underNames;
  const width = canvas.size.columns - countColumns;
  if (picture && drawn && rows > 0 && width > 0) {
    const state = shown ? shownState(shown) : runState(drawn);
    const box = { row: bodyRow, column: countColumns, width, rows, under: underNames };
    putContour(canvas, box, drawn.terms, state);
  }
  putWords(canvas, session, stage === 'paused', layout);
}

type Stage = 'ready' | 'listen' | 'lead-in' | 'play' | 'hold' | 'rest' | 'slipped' | 'paused' | 'enter';

/** Where in a take the session is, in the word that is shown. */
function stageOf({ status, take, shown, now, heardUntilMicros = 0 }: Session): Stage {
  if (status === 'paused') return 'paused';
  if (now < heardUntilMicros && take && now < take.beginMicros) return 'listen';
  if (shown && now < shown.untilMicros) return shown.take.run.landing ? 'hold' : 'rest';
  if (!take || now < take.beginMicros) return 'ready';
  const stop = stopMicros(take);
  if (stop !== undefined && now >= stop)
    return take.run.landing && take.cutTick === undefined ? 'hold' : 'rest';
  if (hasSlipped(take)) return 'slipped';
  const entry = tickMicros(take, take.run.startTick);
  if (now < entry) return 'lead-in';
  return take.run.pulse === 'free' && isUnbegun(take) ? 'enter' : 'play';
}

const STAGE_WORDS: Record<Stage, string> = {
  ready: 'ready',
  listen: 'listen',
  'lead-in': 'lead-in',
  play: 'play',
  hold: 'hold',
  rest: 'rest',
  slipped: 'stop',
  paused: 'paused',
  enter: 'enter',
};

function putStage(
  canvas: Canvas,
  session: Session,
  stage: Stage,
  { unicode, layout }: { unicode: boolean; layout: Layout },
): void {
  const { bodyRow, bodyRows, largeCount } = layout;
  if (bodyRows < 1) return;
  const role: TextRole = stage === 'slipped' ? 'slip' : stage === 'lead-in' ? 'early' : 'strong';
  const wordRow = largeCount ? bodyRow + COUNT_ROWS + 1 : bodyRow;
  const column = largeCount ? 2 : 1;
  put(canvas, wordRow, column, STAGE_WORDS[stage].toUpperCase(), role);
  const click = lastClick(session);
  if (!click || session.status === 'paused') return;
  const flash = session.now - click.atMicros < FLASH_MICROS;
  const light = flash ? (unicode ? '●' : '(*)') : ' ';
  if (largeCount) {
    putCount(canvas, bodyRow, 2, click.beat, { role: flash ? 'click' : 'plain', block: unicode ? '█' : '#' });
    put(canvas, wordRow + 1, 2, light, 'click');
  } else if (bodyRows >= 2) put(canvas, wordRow + 1, 1, `${click.beat} ${light}`, flash ? 'click' : 'plain');
}

/** The beat that was clicked last: in the take's lead-in or run, or in the hold of the take before. */
function lastClick(session: Session): { atMicros: number; beat: number } | undefined {
  const takes = [session.take, session.shown?.take].filter((one): one is Take => one !== undefined);
  for (const take of takes) {
    const before = take.run.clicks.findLast(
      (click) => click.accent !== 'division' && tickMicros(take, click.tick) <= session.now,
    );
    if (before && tickMicros(take, before.tick) >= take.beginMicros - 1) {
      return {
        atMicros: tickMicros(take, before.tick),
        beat: beatAt(beatGrid(session.plan.span.passage), before.tick).place,
      };
    }
  }
  return undefined;
}

/** The last verdict stays until the next run begins, or until its hold is over when the step is another. */
function shownOf(session: Session, stage: Stage): Session['shown'] {
  const { shown } = session;
  if (!shown) return undefined;
  if (stage === 'hold' || stage === 'rest') return session.now < shown.untilMicros ? shown : undefined;
  return !shown.onward &&
    (stage === 'lead-in' || stage === 'ready' || stage === 'paused' || stage === 'enter')
    ? shown
    : undefined;
}

function shownState(shown: NonNullable<Session['shown']>): ContourState {
  return {
    notes: shown.result.verdict.notes,
    intervals: shown.result.verdict.intervals,
    blips: shown.result.verdict.extras.flatMap(({ kind, before }) => (kind === 'blip' ? [before] : [])),
    position: firstSlip(shown.result.verdict.notes),
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
