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
  process.exit(EXIT.internal);
});

const status = await runProgram(process.argv.slice(2));
// A signal's exit status, given while the command ran, stands.
if (status !== 0 && leavingStatus() === undefined) process.exitCode = status;
