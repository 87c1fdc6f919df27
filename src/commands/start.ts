// Bare `fettle`: a start screen in a terminal, the same in lines in a pipe.

import type { Terminal } from '../ports/terminal.ts';
import { ProblemError } from '../problem.ts';
import {
  drawStart,
  inputsOf,
  movePassage,
  movePlayer,
  nextLine,
  type StartState,
  startPlayers,
} from '../screen/start-screen.ts';
import { padToWidth } from '../wording/text-width.ts';
import { bundledNames } from './bundled-passages.ts';
import { loadPassage } from './passage-argument.ts';
import { print } from './print.ts';
import { openRecord } from './record-argument.ts';
import { work } from './work.ts';

export async function start(): Promise<void> {
  const state = await lookAround();
  if (!process.stdout.isTTY || !process.stdin.isTTY) {
    printStart(state);
    return;
  }
  const { openTerminal } = await import('../devices/blessed-terminal.ts');
  const terminal = await openTerminal();
  let chosen: StartState | undefined;
  try {
    chosen = await choose(state, terminal);
  } finally {
    terminal.close();
  }
  if (chosen === undefined) return;
  const passage = chosen.passages[chosen.chosen]!;
  await work(passage.name, { from: chosen.players[chosen.player]!.from });
}

async function lookAround(): Promise<StartState> {
  const { listInputs } = await import('../devices/midi-ports.ts');
  const inputs = await listInputs();
  const passages = await Promise.all(
    bundledNames().map(async (name) => {
      const passage = await loadPassage(name, {});
      return {
        name,
        description: `${passage.title}, ${passage.parts[0]!.instrument}, goal ${passage.tempo.bpm}`,
      };
    }),
  );
  return {
    ...startPlayers(inputs.ok ? inputs.value : [], inputs.ok ? await inputUsedLast() : undefined),
    ...(inputs.ok ? {} : { trouble: inputs.problem.message }),
    passages,
    chosen: 0,
  };
}

/** A record that cannot be read is told when there is something to keep in it. */
async function inputUsedLast(): Promise<string | undefined> {
  try {
    const record = await openRecord({}, false);
    const last = record.recall('input');
    record.close();
    return typeof last === 'string' ? last : undefined;
  } catch (error) {
    if (error instanceof ProblemError) return undefined;
    throw error;
  }
}

/** The state in which a passage was chosen; undefined when the player leaves. */
function choose(first: StartState, terminal: Terminal): Promise<StartState | undefined> {
  let state = first;
  const paint = () => terminal.draw(drawStart(state, terminal.size()));
  return new Promise((resolve) => {
    terminal.onResize(paint);
    terminal.onKey(({ name }) => {
      if (name === 'up' || name === 'pageup') state = movePassage(state, -1);
      else if (name === 'down') state = movePassage(state, 1);
      else if (name === 'left') state = movePlayer(state, -1);
      else if (name === 'right' || name === 'tab') state = movePlayer(state, 1);
      else if (name === 'enter' || name === 'pagedown' || name === 'space') resolve(state);
      else if (name === 'q' || name === 'escape' || name === 'C-c') resolve(undefined);
      paint();
    });
    paint();
  });
}

function printStart(state: StartState): void {
  print('Fettle works a hard passage with you, step by step, on only when it is clean.\n');
  const inputs = inputsOf(state);
  print(
    inputs.length > 0
      ? `Inputs: ${inputs.join(', ')}`
      : `No instrument is plugged in. ${state.trouble ?? ''}`.trim(),
  );
  print('\nPassages:');
  for (const { name, description } of state.passages) print(`  ${padToWidth(name, 14)} ${description}`);
  print(`\n${nextLine(state)}`);
}
