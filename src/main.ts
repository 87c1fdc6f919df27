#!/usr/bin/env node
// Runs the command line.

import { runProgram, tellFault } from './commands/program.ts';
import { leave, leavingStatus, restoreAll } from './devices/leaving.ts';
import { EXIT } from './problem.ts';

// A reader that has seen enough (`fettle ... | head`) is no trouble; a terminal that is gone ends the program as its
// hanging up does.
for (const stream of [process.stdout, process.stderr])
  stream.on('error', (error: NodeJS.ErrnoException) => leave(error.code === 'EPIPE' ? 0 : 129));

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
