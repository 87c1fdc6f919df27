// The start screen: who plays, what can be worked on, what to do next. A pure function of its arguments.

import type { Frame, TerminalSize } from '../ports/terminal.ts';
import { padToWidth } from '../wording/text-width.ts';
import { type Canvas, fitWords, newCanvas, put, putWrapped, toFrame } from './canvas.ts';
import { fitHints, type Hint } from './key-hints.ts';

export interface StartChoice {
  /** As typed on the command line. */
  readonly name: string;
  readonly description: string;
}

export interface StartPlayer {
  /** For people. */
  readonly name: string;
  /** As `--from` takes it. */
  readonly from: string;
}

export interface StartState {
  /** MIDI inputs first, then what needs none. Never empty. */
  readonly players: readonly StartPlayer[];
  /** Index of the player chosen. */
  readonly player: number;
  /** Why no input can be listed, if so. */
  readonly trouble?: string;
  readonly passages: readonly StartChoice[];
  readonly chosen: number;
}

/** Those who need no instrument. */
const ALWAYS_THERE: readonly StartPlayer[] = [
  { name: 'the computer keyboard', from: 'keys' },
  { name: 'a simulated player', from: 'model' },
];

/** Who can play: the inputs, the one used last chosen; without any the simulated player. */
export function startPlayers(
  inputs: readonly string[],
  last?: string,
): Pick<StartState, 'players' | 'player'> {
  const players = [...inputs.map((name) => ({ name, from: name })), ...ALWAYS_THERE];
  return {
    players,
    player: inputs.length > 0 ? Math.max(0, inputs.indexOf(last ?? '')) : players.length - 1,
  };
}

/** The MIDI inputs among those who can play. */
export function inputsOf({ players }: StartState): string[] {
  return players.slice(0, -ALWAYS_THERE.length).map(({ name }) => name);
}

export function movePassage(state: StartState, by: number): StartState {
  return { ...state, chosen: within(state.chosen + by, state.passages.length) };
}

export function movePlayer(state: StartState, by: number): StartState {
  return { ...state, player: within(state.player + by, state.players.length) };
}

function within(index: number, count: number): number {
  return Math.min(count - 1, Math.max(0, index));
}

const KEYS: readonly Hint[] = [
  ['up/down passage', 2],
  ['left/right player', 3],
  ['enter start', 1],
  ['q leave', 0],
];

export function drawStart(state: StartState, size: TerminalSize): Frame {
  const canvas = newCanvas(size);
  const width = size.columns - 2;
  put(canvas, 0, 1, 'Fettle', 'title');
  const claim = 'works a hard passage with you, step by step, on only when it is clean';
  put(canvas, 0, 8, fitWords(claim, width - 7), 'dim');
  const tall = size.rows >= 18;
  let row = tall ? 2 : 1;
  if (inputsOf(state).length === 0) {
    const why = `No instrument is plugged in. ${state.trouble ?? 'Plug one in and start again.'}`;
    row += putWrapped(canvas, row, 1, why, { width, rows: tall ? 2 : 1, role: 'strong' });
  }
  put(canvas, row, 1, 'Who plays', 'strong');
  const players = state.players.map(({ name }) => name);
  row = putList(canvas, row + 1, players, state.player, tall ? 4 : 1);
  if (tall) row += 1;
  put(canvas, row, 1, 'Passages', 'strong');
  const passages = state.passages.map(({ name, description }) => `${padToWidth(name, 14)} ${description}`);
  putList(canvas, row + 1, passages, state.chosen, Math.max(1, size.rows - row - (tall ? 4 : 2)));
  if (tall)
    put(
      canvas,
      size.rows - 2,
      1,
      fitWords('Your own music: fettle work FILE. All commands: fettle --help', width),
      'dim',
    );
  put(canvas, size.rows - 1, 1, fitHints(KEYS, width), 'dim');
  return toFrame(canvas);
}

/** As many lines as there is room for, the chosen one among them; returns the row after. */
function putList(
  canvas: Canvas,
  row: number,
  lines: readonly string[],
  chosen: number,
  room: number,
): number {
  const first = Math.min(Math.max(0, chosen - room + 1), Math.max(0, lines.length - room));
  const shown = lines.slice(first, first + room);
  shown.forEach((line, i) => {
    const text = fitWords(line, canvas.size.columns - 4);
    if (first + i === chosen) put(canvas, row + i, 1, `> ${text}`, 'selected');
    else put(canvas, row + i, 3, text);
  });
  return row + shown.length;
}

/** What can be typed next, in a pipe. */
export function nextLine(state: StartState): string {
  const inputs = inputsOf(state);
  if (inputs.length === 0)
    return 'Next: fettle demo, fettle work NAME --from keys, fettle work NAME --from model, fettle --help';
  return inputs.length === 1
    ? 'Next: fettle work NAME, fettle demo, fettle --help'
    : `Next: fettle work NAME --from "${inputs[0]!}", fettle demo, fettle --help`;
}
