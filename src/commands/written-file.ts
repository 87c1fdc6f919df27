// Files that are written for the player: whole or not at all, and nothing is written over unasked.

import { existsSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';
import { whyNotWritten } from '../devices/file-bytes.ts';
import { EXIT, ProblemError } from '../problem.ts';
import { usage } from './usage-problem.ts';

/** A title as the beginning of a file's name. @example fileStem('Slipway at First Light') // 'slipway-at-first-light' */
export function fileStem(title: string): string {
  return title
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, '-')
    .replace(/^-|-$/g, '');
}

/** Nothing is written over unasked. `command`: whose code it is. */
export function refuseOverwriting(path: string, command: string, force: boolean | undefined): void {
  if (force || !existsSync(path)) return;
  throw usage(
    `${command}.exists`,
    `Cannot write "${path}": there is such a file already`,
    '--force writes over it.',
  );
}

/** A file's folder must be there: none is made unasked. */
export function refuseMissingFolder(path: string): void {
  const folder = dirname(path);
  if (existsSync(folder)) return;
  throw new ProblemError({
    code: 'convert.folder',
    message: `Cannot write "${path}": there is no folder "${folder}"`,
    hint: 'Make the folder first, or name another.',
    exitStatus: EXIT.unreadable,
  });
}

/** A file is whole or not there: written beside it first, then moved. */
export function writeWhole(path: string, content: string | Uint8Array): void {
  const beside = `${path}.part`;
  try {
    writeFileSync(beside, content);
    renameSync(beside, path);
  } catch (error) {
    rmSync(beside, { force: true });
    refuseMissingFolder(path);
    throw new ProblemError({
      code: 'convert.write',
      message: `Cannot write "${path}": ${whyNotWritten(error)}`,
      exitStatus: EXIT.unreadable,
    });
  }
}
