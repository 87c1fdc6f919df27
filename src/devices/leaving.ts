// The ways in which the world ends the program: Ctrl-C from outside the screen, a request to end, a closed terminal
// window. What is done then, and with which exit status, is decided by the caller.

/** Conventional exit status of a process ended by a signal: 128 and the signal's number (POSIX shells). */
export const SIGNAL_STATUS = { SIGINT: 130, SIGTERM: 143, SIGHUP: 129 } as const;

export type LeavingSignal = keyof typeof SIGNAL_STATUS;

/** Calls back on every such signal, in place of the sudden end that is the default. Returns a function that undoes it. */
export function onLeaving(callback: (signal: LeavingSignal) => void): () => void {
  const signals = Object.keys(SIGNAL_STATUS) as LeavingSignal[];
  const handlers = signals.map((signal) => {
    const handler = () => callback(signal);
    process.on(signal, handler);
    return () => process.off(signal, handler);
  });
  return () => {
    for (const undo of handlers) undo();
  };
}
