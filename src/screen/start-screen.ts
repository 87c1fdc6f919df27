// The start screen: what is plugged in, what can be worked on, what to do next. A pure function of its arguments.

import type { Frame, TerminalSize } from '../ports/terminal.ts';
import { newCanvas, put, putWrapped, toFrame } from './canvas.ts';

export interface StartChoice {
  /** As typed on the command line. */
  readonly name: string;
  readonly description: string;
}

export interface StartState {
  readonly inputs: readonly string[];
  /** Why no input can be listed, if so. */
  readonly trouble?: string;
  readonly passages: readonly StartChoice[];
  readonly chosen: number;
}

export function moveChoice(state: StartState, by: number): StartState {
  const last = state.passages.length - 1;
  return { ...state, chosen: Math.min(last, Math.max(0, state.chosen + by)) };
}

export function drawStart(state: StartState, size: TerminalSize): Frame {
  const canvas = newCanvas(size);
  put(canvas, 0, 1, 'Fettle', 'title');
  put(canvas, 0, 9, 'works a hard passage with you, step by step, on only when it is clean', 'dim');
  const width = size.columns - 4;
  let row = 2;
  if (state.inputs.length > 0) {
    put(canvas, row, 1, 'Listening is possible on', 'strong');
    for (const input of state.inputs.slice(0, 3)) put(canvas, ++row, 3, input);
  } else {
    put(canvas, row, 1, 'No instrument is plugged in', 'strong');
    row += putWrapped(
      canvas,
      row + 1,
      3,
      `${state.trouble ?? 'Plug in a MIDI instrument and start again'}. Until then a simulated player plays.`,
      { width, rows: 2 },
    );
  }
  row += 2;
  put(canvas, row, 1, 'Passages', 'strong');
  const room = Math.max(1, size.rows - row - 4);
  const first = Math.min(Math.max(0, state.chosen - room + 1), Math.max(0, state.passages.length - room));
  state.passages.slice(first, first + room).forEach((passage, i) => {
    const chosen = first + i === state.chosen;
    put(
      canvas,
      row + 1 + i,
      1,
      `${chosen ? '>' : ' '} ${passage.name.padEnd(14)} ${passage.description}`,
      chosen ? 'selected' : 'plain',
    );
  });
  put(canvas, size.rows - 2, 1, 'Your own music: fettle work FILE. All commands: fettle --help', 'dim');
  put(canvas, size.rows - 1, 1, 'up/down choose   enter or pagedown work on it   q leave', 'dim');
  return toFrame(canvas);
}
