// What is being done now, in a word, with the beat that the click is on.

import { beatGrid } from '../drills/beat-grid.ts';
import { beatOfClick } from '../drills/click-track.ts';
import type { TextRole } from '../ports/terminal.ts';
import { FLASH_MICROS } from '../session/advance.ts';
import { comingRun, holdBeatsLeft } from '../session/coming.ts';
import { type Session, type Stage, takeOf } from '../session/session.ts';
import type { Take } from '../take/take.ts';
import { tickMicros } from '../take/take-times.ts';
import { COUNT_ROWS, putCount } from './beat-count.ts';
import { type Canvas, put } from './canvas.ts';
import type { Layout } from './layout.ts';

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

export function putStage(
  canvas: Canvas,
  session: Session,
  { unicode, layout }: { unicode: boolean; layout: Layout },
): void {
  const { bodyRow, bodyRows, largeCount } = layout;
  if (bodyRows < 1) return;
  const { kind } = session.stage;
  const wordRow = largeCount ? bodyRow + COUNT_ROWS + 1 : bodyRow;
  const column = largeCount ? 2 : 1;
  put(canvas, wordRow, column, STAGE_WORDS[kind].toUpperCase(), roleOf(kind));
  if (comingRun(session) && wordRow + 2 < bodyRow + bodyRows)
    put(canvas, wordRow + 2, column, 'coming:', 'strong');
  const shown = countShown(session);
  if (!shown) return;
  const { count, inside, flash } = shown;
  const light = `${flash ? lightSign(unicode) : '   '}${inside ? ' and' : ''}`;
  if (largeCount) {
    putCount(canvas, bodyRow, 2, count, { role: flash ? 'click' : 'plain', block: unicode ? '█' : '#' });
    put(canvas, wordRow + 1, 2, light, 'click');
  } else if (bodyRows >= 2) put(canvas, wordRow + 1, 1, `${count} ${light}`, flash ? 'click' : 'plain');
}

/** The same in one row, "PLAY 3", or with the count large, as high as that. */
export function putStageLine(
  canvas: Canvas,
  session: Session,
  row: number,
  { unicode, large }: { readonly unicode: boolean; readonly large: boolean },
): void {
  const { kind } = session.stage;
  const shown = countShown(session);
  const { count, inside, flash = false } = shown ?? {};
  const role = flash ? 'click' : large ? 'plain' : 'strong';
  const wordRow = large ? row + (COUNT_ROWS >> 1) : row;
  const column = large ? 16 : 1;
  put(canvas, wordRow, column, STAGE_WORDS[kind].toUpperCase(), roleOf(kind));
  if (count === undefined) return;
  if (large) putCount(canvas, row, 3, count, { role, block: unicode ? '█' : '#' });
  const light = `${inside ? ' and' : ''} ${flash ? lightSign(unicode) : ''}`;
  put(canvas, wordRow, column + 9, large ? light : `${count}${light}`, role);
  const coming = comingRun(session);
  if (coming) put(canvas, wordRow, column + 20, `coming: ${coming.run.name}`, 'strong');
}

/**
 * The count: beats that the hold still has, else the beat of the last click; `inside`: that click was between two beats;
 * `flash`: it was just now. Undefined before the first click, and in a pause.
 */
function countShown(
  session: Session,
): { readonly count: number; readonly inside: boolean; readonly flash: boolean } | undefined {
  const click = lastClick(session);
  const count = holdBeatsLeft(session) ?? click?.beat;
  if (count === undefined || session.stage.kind === 'paused') return undefined;
  const flash = click !== undefined && session.now - click.atMicros < FLASH_MICROS;
  return { count, inside: click?.inside ?? false, flash };
}

function lightSign(unicode: boolean): string {
  return unicode ? '●' : '(*)';
}

function roleOf(kind: Stage['kind']): TextRole {
  return kind === 'slipped' ? 'slip' : kind === 'lead-in' ? 'early' : 'strong';
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
