// Opens the screen, draws, and ends in the way its argument says.

import { openTerminal } from '../../src/devices/blessed-terminal.ts';
import { onLeaving } from '../../src/devices/leaving.ts';

const how = process.argv[2];
const terminal = await openTerminal();
const { columns, rows } = terminal.size();
terminal.draw({ columns, rows, lines: [[{ text: 'on the screen', role: 'plain' }]] });
// Work that takes a while to end, and work that never does.
if (how === 'slowly') onLeaving(() => setTimeout(() => process.exit(), 300));
if (how === 'never') onLeaving(() => {});
setTimeout(() => {
  switch (how) {
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
setTimeout(() => {}, ['wait', 'slowly', 'never'].includes(how!) ? 120_000 : 0);
