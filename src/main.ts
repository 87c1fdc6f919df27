#!/usr/bin/env node
// Runs the command line. A signal's exit status, set while the command ran, stands.

import { runProgram } from './commands/program.ts';

const status = await runProgram(process.argv.slice(2));
if (status !== 0) process.exitCode = status;
