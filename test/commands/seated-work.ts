// Starts the program in a pseudo-terminal, as a player starts it, with a home folder of its own.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
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
  remove(): void;
}

export function seatedHome(): SeatedHome {
  const folder = mkdtempSync(join(tmpdir(), 'fettle-terminal-'));
  return {
    folder,
    start: (words) => seat('src/main.ts', words, { env: { FETTLE_HOME: folder } }),
    remove: () => rmSync(folder, { recursive: true }),
  };
}
