// PASSAGE on the command line, as it is read: a bundled name or a file, or one tune of a file.

import { readFileSync } from 'node:fs';
import { whyNotOpened } from '../devices/file-bytes.ts';
import { nearWord } from '../music/near-word.ts';
import { readPassageBytes } from '../notation/read.ts';
import type { Reading } from '../notation/reading.ts';
import { EXIT, ProblemError } from '../problem.ts';
import { bundledNames, bundledPath } from './bundled-passages.ts';

const ENDINGS = ['.abc', '.musicxml', '.xml', '.mxl', '.mid', '.midi'];

/** Reads a file or a bundled passage, with everything that was not understood. */
export async function readPassageFile(argument: string): Promise<Reading> {
  // FILE#2 or FILE#title names one tune of several.
  const [, path, tune] = /^(.*?)(?:#(.+))?$/s.exec(argument) as unknown as [
    string,
    string,
    string | undefined,
  ];
  const bundled = bundledPath(path);
  const bytes = readBytes(bundled ?? path, path);
  return readPassageBytes(
    bytes,
    bundled ? path : argument,
    tune === undefined ? {} : { tune: /^\d+$/.test(tune) ? Number(tune) : tune },
  );
}

function readBytes(path: string, argument: string): Uint8Array {
  try {
    return readFileSync(path);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    const near = nearWord(argument, bundledNames());
    const why = whyNotOpened(error, 'there is no such file and no bundled passage of that name');
    throw new ProblemError({
      code: code === 'ENOENT' ? 'passage.missing' : 'passage.unreadable',
      message: `Cannot open the passage "${argument}": ${why}`,
      hint: near
        ? `Did you mean ${near}?`
        : `Bundled: ${bundledNames().join(', ')}. A file needs one of ${ENDINGS.join(', ')}`,
      exitStatus: EXIT.unreadable,
    });
  }
}
