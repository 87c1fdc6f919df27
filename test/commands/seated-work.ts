// Starts the program in a pseudo-terminal, as a player starts it, with a home folder of its own.

import { ownFolder } from '../own-folder.ts';
import { type Seated, seat } from '../pseudo-terminal.ts';

/** A quick session: the machine plays bar 1 at 240. */
export const QUICK = [
  'work',
  'slipway',
  '--bars',
  '1',
  '--from',
  'model:exact',
  '--tempo',
  '240',
  '--passes',
  '1',
  '--click-to',
  'off',
];

export interface SeatedHome {
  readonly folder: string;
  start(words: readonly string[]): Seated;
}

export function seatedHome(): SeatedHome {
  const folder = ownFolder();
  return {
    folder,
    start: (words) => seat('src/main.ts', words, { env: { FETTLE_HOME: folder } }),
  };
}
