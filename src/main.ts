#!/usr/bin/env node
// Runs the command line.

import { printTrouble } from './commands/print.ts';
import { runProgram, tellFault } from './commands/program.ts';
import { whyNotWritten } from './devices/file-bytes.ts';
import { leave, leavingStatus, restoreAll } from './devices/leaving.ts';
import { EXIT } from './problem.ts';

/** What a file says that has no room, a terminal never. */
const NO_ROOM: readonly (string | undefined)[] = ['ENOSPC', 'EDQUOT', 'EFBIG'];

// A reader that has seen enough (`fettle ... | head`) is no trouble; a terminal that is gone ends the program as its
// hanging up does; a file that what is printed goes into may have no room.
for (const stream of [process.stdout, process.stderr])
  stream.on('error', (error: NodeJS.ErrnoException) => {
    const isFull = NO_ROOM.includes(error.code);
    if (isFull && stream === process.stdout && leavingStatus() === undefined)
      printTrouble(`fettle: Cannot write what is printed: ${whyNotWritten(error)}`);
    leave(error.code === 'EPIPE' ? 0 : isFull ? EXIT.unreadable : 129);
  });

process.on('uncaughtException', (error) => {
  restoreAll();
  tellFault(error);
  // What fails while the world ends the program is a consequence: the first reason stands.
  process.exit(leavingStatus() ?? EXIT.internal);
});

// Node ends a program that waits for what can never come with this status, and without a word of ours.
const UNSETTLED = 13;
let isDone = false;
process.on('exit', () => {
  if (isDone || process.exitCode !== UNSETTLED) return;
  restoreAll();
  tellFault(new Error('Nothing is left that the program could wait for'));
  process.exitCode = EXIT.internal;
});

const status = await runProgram(process.argv.slice(2));
isDone = true;
// A signal's exit status, given while the command ran, stands.
if (status !== 0 && leavingStatus() === undefined) process.exitCode = status;
