// The MIDI and the sound library, and the system's own under them, print lines of their own on standard output and
// error, past everything that Node knows of. On a terminal they would stand in the middle of the player's screen.
// There Node writes through descriptors of its own (libuv opens the terminal anew), so what native code knows as
// standard output and error, 1 and 2, can lead nowhere while ours go on.

import { closeSync, openSync } from 'node:fs';

let led = false;

/** Before a library is loaded that may print. Nothing happens where the output is no terminal, or on Windows. */
export function leadNativeLinesAway(): void {
  if (led || process.platform === 'win32') return;
  led = true;
  for (const stream of [process.stdout, process.stderr]) {
    if (!stream.isTTY) continue;
    closeSync(stream.fd);
    // The lowest number that is free is given: the one just closed.
    openSync('/dev/null', 'w');
  }
}
