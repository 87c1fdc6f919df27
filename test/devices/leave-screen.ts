// Opens the screen, draws, and ends in the way its argument says.

import { openTerminal } from '../../src/devices/blessed-terminal.ts';
import { onLeaving, SIGNAL_STATUS } from '../../src/devices/leaving.ts';

const terminal = await openTerminal();
onLeaving((signal) => {
  terminal.close();
  process.exit(SIGNAL_STATUS[signal]);
});
const { columns, rows } = terminal.size();
terminal.draw({ columns, rows, lines: [[{ text: 'on the screen', role: 'plain' }]] });
setTimeout(() => {
  switch (process.argv[2]) {
    case 'close':
      terminal.close();
      break;
    case 'exit':
      process.exit(7);
      break;
    case 'throw':
      throw new Error('the screen broke');
  }
}, 50);
setTimeout(() => {}, process.argv[2] === 'wait' ? 20_000 : 0);
