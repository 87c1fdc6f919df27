// Bare `fettle`: a start screen in a terminal, the same in lines in a pipe.

import type { Terminal } from '../ports/terminal.ts';
import { drawStart, moveChoice, type StartState } from '../screen/start-screen.ts';
import { bundledNames, loadPassage } from './passage-argument.ts';
import { work } from './work.ts';

export async function start(): Promise<void> {
  const state = await lookAround();
  if (!process.stdout.isTTY || !process.stdin.isTTY) {
    printStart(state);
    return;
  }
  const { openTerminal } = await import('../devices/blessed-terminal.ts');
  const terminal = await openTerminal();
  let chosen: string | undefined;
  try {
    chosen = await choose(state, terminal);
  } finally {
    terminal.close();
  }
  if (chosen === undefined) return;
  await work(chosen, state.inputs.length > 0 ? {} : { from: 'model' });
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
    inputs: inputs.ok ? inputs.value : [],
    ...(inputs.ok ? {} : { trouble: inputs.problem.message }),
    passages,
    chosen: 0,
  };
}

function choose(first: StartState, terminal: Terminal): Promise<string | undefined> {
  let state = first;
  const paint = () => terminal.draw(drawStart(state, terminal.size()));
  return new Promise((resolve) => {
    terminal.onResize(paint);
    terminal.onKey(({ name }) => {
      if (name === 'up' || name === 'left' || name === 'pageup') state = moveChoice(state, -1);
      else if (name === 'down' || name === 'right') state = moveChoice(state, 1);
      else if (name === 'enter' || name === 'pagedown' || name === 'space')
        resolve(state.passages[state.chosen]?.name);
      else if (name === 'q' || name === 'escape' || name === 'C-c') resolve(undefined);
      paint();
    });
    paint();
  });
}

function printStart(state: StartState): void {
  console.log('Fettle works a hard passage with you, step by step, on only when it is clean.\n');
  console.log(
    state.inputs.length > 0
      ? `Inputs: ${state.inputs.join(', ')}`
      : `No instrument is plugged in. ${state.trouble ?? ''}`.trim(),
  );
  console.log('\nPassages:');
  for (const { name, description } of state.passages) console.log(`  ${name.padEnd(14)} ${description}`);
  console.log('\nNext: fettle demo, fettle work NAME, fettle --help');
}
