// The MIDI and the sound library, and the system's own under them, print lines of their own on standard output and
// error, past everything that Node knows of. On a terminal they would stand in the middle of the player's screen.
// There Node writes through descriptors of its own (libuv opens the terminal anew), so what native code knows as
// standard output and error, 1 and 2, can lead nowhere while ours go on. A terminal that belongs to somebody else (su,
// sudo, a container) cannot be opened anew: there Node writes to 1 and 2 itself, and they stay as they are.

import { closeSync, openSync } from 'node:fs';

let led = false;

/** Before a library is loaded that may print. Nothing happens where our own lines would go with them, or on Windows. */
export function leadNativeLinesAway(): void {
  if (led || process.platform === 'win32') return;
  led = true;
  for (const stream of [process.stdout, process.stderr]) {
    if (!stream.isTTY || !hasOwnDescriptor(stream)) continue;
    closeSync(stream.fd);
    // The lowest number that is free is given: the one just closed.
    openSync('/dev/null', 'w');
  }
}

/** Known of libuv's handle alone; where it is not, the stream is taken for the descriptor itself. */
function hasOwnDescriptor(stream: NodeJS.WriteStream & { readonly fd: number }): boolean {
  const { _handle: handle } = stream as { readonly _handle?: { readonly fd?: number } };
  return handle?.fd !== undefined && handle.fd >= 0 && handle.fd !== stream.fd;
}
