// The ways in which the world ends the program: a signal, a closed terminal window, an output that nobody reads any
// more, a fault of ours. One place hears of them all, and whatever was done to the terminal is undone first, before
// anything else has a chance to fail. What then becomes of the work is decided by whoever is at work.

import { constants } from 'node:os';

const LEAVING_SIGNALS = ['SIGHUP', 'SIGINT', 'SIGQUIT', 'SIGABRT', 'SIGUSR2', 'SIGALRM', 'SIGTERM'] as const;

/** Whoever is at work has so long to come to an end after the first signal; then the program ends all the same. */
const FAREWELL_MS = 2000;

const restorings = new Set<() => void>();
const farewells = new Set<() => void>();
let watching = false;
let status: number | undefined;

/** Undone before anything else when the program ends, in whichever way. Returns a function that takes it off the list. */
export function restoredOnLeaving(restore: () => void): () => void {
  watch();
  restorings.add(restore);
  return () => restorings.delete(restore);
}

/**
 * Calls back, once, when the world ends the program: instead of the sudden end that is the default, whoever is at work
 * ends it, within two seconds. Returns a function that undoes it.
 */
export function onLeaving(callback: () => void): () => void {
  watch();
  farewells.add(callback);
  return () => farewells.delete(callback);
}

/**
 * Calls back when nothing is left that the program could wait for, no input, no clock and no key: what has not come to an
 * end by then never would. Returns a function that undoes it.
 */
export function onNothingLeft(callback: () => void): () => void {
  process.on('beforeExit', callback);
  return () => process.off('beforeExit', callback);
}

/** Undoes all that was done to the terminal, at once. Before anything is printed that must stay. */
export function restoreAll(): void {
  for (const restore of restorings) {
    restorings.delete(restore);
    try {
      restore();
    } catch {
      // A terminal that is gone cannot be restored; the others can.
    }
  }
}

/**
 * Ends the program with this exit status: the terminal first, then the work. Only the first reason counts, whatever comes
 * while the work is being ended.
 */
export function leave(exitStatus: number): void {
  restoreAll();
  if (status !== undefined) return;
  status = exitStatus;
  process.exitCode = exitStatus;
  if (farewells.size === 0) process.exit(exitStatus);
  setTimeout(() => process.exit(exitStatus), FAREWELL_MS).unref();
  for (const farewell of [...farewells]) farewell();
}

/** The exit status of a program that the world has ended; undefined while it has not. */
export function leavingStatus(): number | undefined {
  return status;
}

/** From the first need on, and to the end: between two pieces of work a signal must find a handler, too. */
function watch(): void {
  if (watching) return;
  watching = true;
  process.on('exit', restoreAll);
  for (const signal of LEAVING_SIGNALS) {
    const number = constants.signals[signal];
    // Conventional exit status of a process ended by a signal: 128 and the signal's number (POSIX shells).
    if (number !== undefined) process.on(signal, () => leave(128 + number));
  }
}
