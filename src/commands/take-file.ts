// A recorded take on the command line: a MIDI file that is told by its name when it cannot be read.

import { readFileBytes, whyNotOpened } from '../devices/file-bytes.ts';
import { type RecordedTake, readTake } from '../notation/midi-file/take.ts';
import { LARGEST_FILE_BYTES } from '../notation/reading.ts';
import { EXIT, ProblemError } from '../problem.ts';

const WHAT = 'A take is a MIDI file (.mid) recorded from the instrument.';

/** Throws a ProblemError that names the file. `channel` 1 to 16: that one alone. */
export function readTakeFile(path: string, choice: { readonly channel?: number } = {}): RecordedTake {
  const read = readTake(readBytes(path), choice);
  if (read.ok) return read.value;
  const { problem } = read;
  const damaged = problem.place?.byte !== undefined;
  throw new ProblemError({
    ...problem,
    message: problem.message.replace('the MIDI file', `the take "${path}"`),
    ...(damaged ? { hint: `${WHAT} Copy it or export it again.` } : {}),
  });
}

function readBytes(path: string): Uint8Array {
  try {
    return readFileBytes(path, LARGEST_FILE_BYTES);
  } catch (error) {
    throw new ProblemError({
      code: 'take.missing',
      message: `Cannot open the take "${path}": ${whyNotOpened(error)}`,
      hint: WHAT,
      exitStatus: EXIT.unreadable,
    });
  }
}
