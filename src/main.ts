#!/usr/bin/env node
// Runs the command line. A signal's exit status, set while the command ran, stands.

import { runProgram } from './commands/program.ts';

// A reader that has seen enough (`fettle ... | head`) is no trouble.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit(0);
  throw error;
});

const status = await runProgram(process.argv.slice(2));
if (status !== 0) process.exitCode = status;
