// Opens the screen and prints as native code does, past Node's streams: straight to descriptors 1 and 2.

import { writeSync } from 'node:fs';
import { openTerminal } from '../../src/devices/blessed-terminal.ts';
import { leadNativeLinesAway } from '../../src/devices/native-lines.ts';

leadNativeLinesAway();
writeSync(1, 'ALSA lib says something\n');
const terminal = await openTerminal();
const { columns, rows } = terminal.size();
terminal.draw({ columns, rows, lines: [[{ text: 'on the screen', role: 'plain' }]] });
writeSync(2, 'the sound library says something\n');
setTimeout(() => {
  terminal.close();
  console.error('our own trouble');
  console.log('our own line');
}, 50);
