// Frees the memory of what was made lately and is not needed any more. The JavaScript engine does so by itself whenever
// some 16 MB have been made, and whatever is at work then waits 3 to 10 ms for it.

import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';

type Collect = (options: { readonly type: 'minor' }) => void;

/** A sweep, of 3 to 10 ms with sixteen players; undefined where the engine has none that can be asked for. */
export function openSweep(): (() => void) | undefined {
  // The engine gives its collector only to what is made while this is set.
  setFlagsFromString('--expose-gc');
  const collect: Collect | undefined = runInNewContext('globalThis.gc');
  setFlagsFromString('--no-expose-gc');
  return collect && (() => collect({ type: 'minor' }));
}
