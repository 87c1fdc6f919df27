// Asks the system to run this thread before others. Only where it is allowed (on Linux the superuser, and players in a
// group with a nice limit for audio); where it is not, nothing happens and everything works as before.

import { readlinkSync } from 'node:fs';
import { setPriority } from 'node:os';

/** As audio servers ask for by the same means; not so high that the system's own threads wait. */
const NICE = -11;

/** True when it was granted. On Linux, priorities are per thread; elsewhere nothing is asked. */
export function raiseThreadPriority(): boolean {
  if (process.platform !== 'linux') return false;
  try {
    const thread = Number(readlinkSync('/proc/thread-self').split('/').at(-1));
    setPriority(thread, NICE);
    return true;
  } catch {
    return false;
  }
}
