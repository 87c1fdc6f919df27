// One pupil's returns, read and judged: on the main thread where there is little, on several where there is much.

import { availableParallelism } from 'node:os';
import { setImmediate } from 'node:timers/promises';
import { startWorker } from '../devices/worker-entry.ts';
import { type LessonReturn, readReturn, together } from '../lesson/lesson-return.ts';
import { type PupilWork, pupilWork } from '../lesson/pupil-work.ts';
import { type Problem, ProblemError } from '../problem.ts';
import { readBytes } from './lesson-file.ts';

/** A larger file is no return: even one with years of practice in it stays below this. */
const LARGEST_RETURN_BYTES = 256 * 1024 * 1024;

export interface PupilRead {
  /** Absent where none of the files could be read. */
  readonly pupil?: PupilWork;
  readonly problems: readonly Problem[];
}

/** What every thread is given. */
export interface ReadingWork {
  readonly groups: readonly (readonly string[])[];
  /** How many takes of a return are judged again: see readReturn. */
  readonly most: number;
  /** How many groups were taken, shared by all threads. */
  readonly taken: Int32Array;
}

interface GroupRead {
  readonly index: number;
  readonly read: PupilRead;
}

/** `files`: all returns of one pupil. `most`: see readReturn. */
export function readPupil(files: readonly string[], most: number): PupilRead {
  const returns: LessonReturn[] = [];
  const good: string[] = [];
  const problems: Problem[] = [];
  for (const file of files) {
    try {
      const read = readReturn(readBytes(file, LARGEST_RETURN_BYTES, { spaceFor }), file, most);
      if (read.ok) {
        returns.push(read.value);
        good.push(file);
      } else problems.push(read.problem);
    } catch (error) {
      if (!(error instanceof ProblemError)) throw error;
      problems.push(error.problem);
    }
  }
  if (returns.length === 0) return { problems };
  return { pupil: pupilWork(together(returns), good), problems };
}

let space = Buffer.alloc(0);

/** One file after another is read into the same memory: to be given new memory costs more than reading. */
function spaceFor(bytes: number): Buffer {
  if (bytes > space.length) space = Buffer.allocUnsafeSlow(bytes);
  return space.subarray(0, bytes);
}

/** Reads groups that no other thread has taken, until there are none left. */
export async function readOpenGroups(
  { groups, most, taken }: ReadingWork,
  tell: (read: GroupRead) => void,
): Promise<void> {
  const next = () => Atomics.add(taken, 0, 1);
  for (let index = next(); index < groups.length; index = next()) {
    tell({ index, read: readPupil(groups[index]!, most) });
    // A key that ends the program is heard, and so is what another thread has to tell.
    await setImmediate();
  }
}

/** Each group's, in order, on as many threads as the machine has processors, this one among them. */
export async function readOnThreads(
  groups: readonly (readonly string[])[],
  most: number,
): Promise<PupilRead[]> {
  const work: ReadingWork = { groups, most, taken: new Int32Array(new SharedArrayBuffer(4)) };
  const found: PupilRead[] = [];
  const tell = ({ index, read }: GroupRead) => {
    found[index] = read;
  };
  const others = Array.from({ length: Math.min(availableParallelism(), groups.length) - 1 }, () => {
    const worker = startWorker(new URL('./lesson-read-worker', import.meta.url), work);
    return new Promise<void>((resolve, reject) => {
      worker.on('message', tell);
      worker.on('error', reject);
      worker.on('exit', () => resolve());
    });
  });
  await Promise.all([readOpenGroups(work, tell), ...others]);
  return found;
}
