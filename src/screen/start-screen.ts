// The start screen: the rows of choices, the one that is pointed at with all of its choices, and what should be known
// before choosing. A pure function of its arguments.

import type { Frame, TerminalSize } from '../ports/terminal.ts';
import { type Canvas, fitWords, newCanvas, put, putWrapped, toFrame } from './canvas.ts';
import { fitHints, type Hint } from './key-hints.ts';
import {
  canPlay,
  choices,
  chosenIndex,
  chosenPlan,
  type Field,
  fieldsOf,
  inputsOf,
  type StartPlan,
  type StartState,
  tooWide,
} from './start-choice.ts';

const TITLES: Readonly<Record<Field, string>> = {
  today: 'Today',
  time: 'Time',
  player: 'Who plays',
  passage: 'Passage',
  part: 'Part',
  bars: 'Bars',
  tempo: 'Tempo',
  drill: 'Drill',
};

const KEYS: readonly Hint[] = [
  ['up/down row', 2],
  ['left/right choose', 3],
  ['enter begin', 1],
  ['q leave', 0],
];

/** Where the choices begin: after the marker and the longest title. */
const CHOICE_COLUMN = 14;

export function drawStart(state: StartState, size: TerminalSize): Frame {
  const canvas = newCanvas(size);
  const width = size.columns - 2;
  const tall = size.rows >= 18;
  put(canvas, 0, 1, 'Fettle', 'title');
  const claim = 'works a hard passage with you, step by step, on only when it is clean';
  put(canvas, 0, 8, fitWords(claim, width - 7), 'dim');
  let row = tall ? 2 : 1;
  for (const line of notices(state)) {
    if (row + fieldsOf(state).length + 2 > size.rows) break;
    row += putWrapped(canvas, row, 1, line, { width, rows: tall ? 2 : 1, role: 'strong' });
  }
  if (tall && row > 2) row += 1;
  for (const field of fieldsOf(state)) {
    const focused = field === state.focus;
    put(canvas, row, 1, focused ? '>' : ' ', 'strong');
    put(canvas, row, 3, TITLES[field], 'dim');
    const choice = choices(state, field)[chosenIndex(state, field)]!;
    put(canvas, row, CHOICE_COLUMN, fitWords(choice, width - CHOICE_COLUMN), focused ? 'selected' : 'plain');
    row += 1;
  }
  const advice = adviceOf(state);
  const room = size.rows - row - (advice === undefined ? 3 : 5);
  if (room > 0 && state.focus === 'today') putPlan(canvas, row + 1, state.plans[state.at.today]!, room);
  else if (room > 0)
    putList(canvas, row + 1, choices(state, state.focus), chosenIndex(state, state.focus), room);
  if (advice !== undefined) {
    const rows = size.rows - row >= 3 ? Math.min(2, size.rows - row - 1) : 1;
    putWrapped(canvas, size.rows - 1 - rows, 1, advice, { width, rows, role: 'slip' });
  }
  put(canvas, size.rows - 1, 1, fitHints(KEYS, width), 'dim');
  return toFrame(canvas);
}

/** What a player should know before choosing. */
function notices(state: StartState): string[] {
  return [
    ...(inputsOf(state).length > 0
      ? []
      : [
          state.trouble === undefined
            ? 'No instrument is plugged in: it appears here as soon as it is.'
            : `No instrument can be heard. ${state.trouble}`,
        ]),
    ...(state.silence === undefined ? [] : [state.silence]),
  ];
}

/** What stands in the way of what was chosen. */
function adviceOf(state: StartState): string | undefined {
  if (state.refusal !== undefined) return state.refusal;
  if (chosenPlan(state) !== undefined) return undefined;
  return canPlay(state) ? undefined : tooWide(state);
}

/** The plan, as much of it as there is room for. */
function putPlan(canvas: Canvas, row: number, { lines }: StartPlan, room: number): void {
  const shown =
    lines.length <= room ? lines : [...lines.slice(0, room - 1), `and ${lines.length - room + 1} more`];
  for (const [i, line] of shown.entries())
    put(canvas, row + i, 3, fitWords(line, canvas.size.columns - 4), 'plain');
}

/** As many lines as there is room for, the chosen one among them. */
function putList(canvas: Canvas, row: number, lines: readonly string[], chosen: number, room: number): void {
  const first = Math.min(Math.max(0, chosen - Math.floor(room / 2)), Math.max(0, lines.length - room));
  lines.slice(first, first + room).forEach((line, i) => {
    const mark = first + i === chosen ? '*' : ' ';
    put(
      canvas,
      row + i,
      3,
      `${mark} ${fitWords(line, canvas.size.columns - 6)}`,
      mark === '*' ? 'strong' : 'dim',
    );
  });
}

/** What can be typed next, in a pipe. */
export function nextLine(state: Pick<StartState, 'players'>): string {
  const inputs = inputsOf(state);
  if (inputs.length === 0)
    return 'Next: fettle demo, fettle work NAME --from keys, fettle work NAME --from model, fettle --help';
  return inputs.length === 1
    ? 'Next: fettle work NAME, fettle demo, fettle --help'
    : `Next: fettle work NAME --from "${inputs[0]!}", fettle demo, fettle --help`;
}
