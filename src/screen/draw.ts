// The screen of a session: a pure function of the session and the size. 80 x 24 and up; smaller screens lose the
// contour's height first. Meaning is never carried by colour alone.

import type { Gate } from '../coaching/gate.ts';
import type { Ladder } from '../coaching/ladder.ts';
import { beatAt, beatGrid } from '../drills/beat-grid.ts';
import type { NoteVerdict } from '../matching/alignment.ts';
import type { Frame, TerminalSize, TextRole } from '../ports/terminal.ts';
import { FLASH_MICROS, type Session } from '../session/session.ts';
import { stepInForce } from '../session/stages.ts';
import { hasSlipped, stopMicros, type Take, tickMicros } from '../session/take.ts';
import { COUNT_ROWS, putCount } from './beat-count.ts';
import { type Canvas, newCanvas, put, putRight, putWrapped, toFrame } from './canvas.ts';
import { CONTOUR_EXTRA_ROWS, type ContourState, putContour } from './contour.ts';
import { KEY_HINT, KEY_HINT_LETTERS } from './keymap.ts';
import { counted, stepTitle } from './wording.ts';

export interface DrawOptions {
  /** Characters beyond ASCII may be used. */
  readonly unicode: boolean;
  /** Where the playing comes from. */
  readonly source: string;
  /** Letters are notes: the computer keyboard is the instrument. */
  readonly lettersPlay?: boolean;
}

/** Columns of the count at the left. */
const COUNT_COLUMNS = 14;

export function draw(session: Session, size: TerminalSize, options: DrawOptions): Frame {
  const canvas = newCanvas(size);
  putHeader(canvas, session, options);
  if (session.status === 'finished') putSummary(canvas, session);
  else putWork(canvas, session, options);
  const hint = options.lettersPlay ? KEY_HINT_LETTERS : KEY_HINT;
  put(canvas, size.rows - 1, 1, session.status === 'finished' ? 'any key leaves' : hint, 'dim');
  return toFrame(canvas);
}

/** While a landing is held, the header is still that of the step just played. */
function putHeader(canvas: Canvas, session: Session, options: DrawOptions): void {
  const { shown, now } = session;
  const held = shown && now < shown.untilMicros && session.status === 'playing' ? shown : undefined;
  const { index, gate, ladder } = held ?? session;
  const step = held?.take.step ?? stepInForce(session);
  const { tolerance } = session.plan;
  put(canvas, 0, 1, session.plan.span.passage.title, 'title');
  putRight(canvas, 0, `step ${index + 1} of ${session.steps.length}`, 'strong');
  put(canvas, 1, 1, stepTitle(session.steps[index]!.drill, step.name), 'strong');
  putRight(canvas, 1, progressWords(session, { index, gate, ladder }), 'strong');
  const limits = `${tolerance.floorMicros / 1000} ms or ${Math.round(tolerance.share * 100)} %`;
  put(canvas, 2, 1, `${step.tempo.bpm} a minute, ${tolerance.name} (${limits})`, 'dim');
  putRight(canvas, 2, options.source, 'dim');
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

function putWork(canvas: Canvas, session: Session, options: DrawOptions): void {
  const { rows, columns } = canvas.size;
  const take = session.take;
  const stage = stageOf(session);
  putStage(canvas, session, stage, options);
  const contourRows = Math.max(3, rows - 4 - CONTOUR_EXTRA_ROWS - 6);
  const shown = shownOf(session, stage);
  const picture = shown ? shown.take : take;
  if (picture) {
    const state = shown ? shownState(shown) : runState(picture);
    putContour(
      canvas,
      { row: 4, column: COUNT_COLUMNS, width: columns - COUNT_COLUMNS, rows: contourRows },
      picture.step,
      state,
    );
  }
  const row = 4 + contourRows + CONTOUR_EXTRA_ROWS;
  putWords(canvas, session, stage, row);
}

type Stage = 'ready' | 'listen' | 'lead-in' | 'play' | 'hold' | 'rest' | 'slipped' | 'paused' | 'enter';

/** Where in a take the session is, in the word that is shown. */
function stageOf({ status, take, shown, now, heardUntilMicros = 0 }: Session): Stage {
  if (status === 'paused') return 'paused';
  if (now < heardUntilMicros && take && now < take.beginMicros) return 'listen';
  if (shown && now < shown.untilMicros) return shown.take.step.landing ? 'hold' : 'rest';
  if (!take || now < take.beginMicros) return 'ready';
  const stop = stopMicros(take);
  if (stop !== undefined && now >= stop)
    return take.step.landing && take.cutTick === undefined ? 'hold' : 'rest';
  if (hasSlipped(take)) return 'slipped';
  const entry = tickMicros(take, take.step.startTick);
  if (now < entry) return 'lead-in';
  return take.step.pulse === 'free' && take.players.every((one) => one.lastNoteMicros === undefined)
    ? 'enter'
    : 'play';
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

function putStage(canvas: Canvas, session: Session, stage: Stage, options: DrawOptions): void {
  const role: TextRole = stage === 'slipped' ? 'slip' : stage === 'lead-in' ? 'early' : 'strong';
  put(canvas, 4 + COUNT_ROWS + 1, 2, STAGE_WORDS[stage].toUpperCase(), role);
  const click = lastClick(session);
  if (!click || session.status === 'paused') return;
  const flash = session.now - click.atMicros < FLASH_MICROS;
  putCount(canvas, 4, 2, click.beat, { role: flash ? 'click' : 'plain', block: options.unicode ? '█' : '#' });
  put(canvas, 4 + COUNT_ROWS + 2, 2, flash ? (options.unicode ? '●' : '(*)') : ' ', 'click');
}

/** The beat that was clicked last: in the take's lead-in or run, or in the hold of the take before. */
function lastClick(session: Session): { atMicros: number; beat: number } | undefined {
  const takes = [session.take, session.shown?.take].filter((one): one is Take => one !== undefined);
  for (const take of takes) {
    const { step } = take;
    const before = step.clicks.findLast(
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
    notes: shown.verdict.notes,
    intervals: shown.verdict.intervals,
    position: firstSlip(shown.verdict.notes),
  };
}

function firstSlip(notes: readonly NoteVerdict[]): number {
  return notes.find((one) => one.verdict === 'wrong' || one.verdict === 'missed')?.onset ?? 0;
}

function runState(take: Take): ContourState {
  const { follower } = take.players[0]!;
  return { notes: follower.committed, intervals: [], position: follower.position };
}

function putWords(canvas: Canvas, session: Session, stage: Stage, row: number): void {
  const { shown, now } = session;
  const width = canvas.size.columns - 2;
  if (stage === 'paused') {
    const why = session.lostWhy ?? session.pausedWhy;
    putWrapped(canvas, row, 1, why ? `Paused: ${why}.` : 'Paused.', {
      width,
      rows: 2,
      role: 'strong',
    });
  } else if (shown) {
    const mark = isClean(shown) ? '+' : 'x';
    putWrapped(canvas, row, 1, `${mark} ${shown.sentence}`, {
      width,
      rows: 2,
      role: isClean(shown) ? 'good' : 'slip',
    });
    if (now < shown.untilMicros) put(canvas, row + 2, 1, whatNext(session), 'strong');
  }
  if (session.notice) putWrapped(canvas, row + 3, 1, session.notice, { width, rows: 3, role: 'strong' });
}

function whatNext(session: Session): string {
  const { shown, take } = session;
  if (!shown || !take) return '';
  if (!shown.onward) return 'Again, after the lead-in.';
  const joins = take.beginMicros === shown.untilMicros && shown.take.step.joinsNext;
  return `On to "${take.step.name}"${joins ? ': strike the landing again and go on' : ', after the lead-in'}.`;
}

function putSummary(canvas: Canvas, session: Session): void {
  put(canvas, 4, 1, 'Done.', 'strong');
  put(canvas, 5, 1, `${counted(session.takes, 'take')}, ${session.cleanTakes} clean.`);
  session.steps.forEach((planned, i) => {
    const tally = session.tallies[i]!;
    const word = { passed: '+ passed ', skipped: '> skipped', open: '- open   ' }[tally.state];
    put(
      canvas,
      7 + i,
      1,
      `${word} ${stepTitle(planned.drill, planned.step.name)}`,
      tally.state === 'passed' ? 'good' : 'plain',
    );
    put(canvas, 7 + i, 50, `${tally.cleanTakes} clean of ${tally.takes}`, 'dim');
  });
}

/** Clean to its stop: a run that was stopped early is not. */
function isClean({ verdict, take }: NonNullable<Session['shown']>): boolean {
  return verdict.clean && take.cutTick === undefined;
}
