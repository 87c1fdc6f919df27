// One pupil's returns, read and judged: on the main thread where there is little, on several where there is much.

import { availableParallelism } from 'node:os';
import { startWorker } from '../devices/worker-entry.ts';
import { type LessonReturn, readReturn, together } from '../lesson/lesson-return.ts';
import { type PupilWork, pupilWork } from '../lesson/pupil-work.ts';
import { type Problem, ProblemError } from '../problem.ts';
import { readText } from './lesson-file.ts';

/** A return with years of practice in it stays below it. */
const LARGEST_RETURN_BYTES = 256 * 1024 * 1024;

export interface PupilRead {
  /** Absent where none of the files could be read. */
  readonly pupil?: PupilWork;
  readonly problems: readonly Problem[];
}

/** What a thread is given: it takes the next number from `shared` until there are no more. */
export interface ReadingWork {
  readonly groups: readonly (readonly string[])[];
  readonly all: boolean;
  readonly shared: Int32Array;
}

/** What it gives back, one message a group. */
export interface GroupRead {
  readonly index: number;
  readonly read: PupilRead;
}

/** `files`: all returns of one pupil. */
export function readPupil(files: readonly string[], all: boolean): PupilRead {
  const returns: LessonReturn[] = [];
  const problems: Problem[] = [];
  for (const file of files) {
    try {
      const read = readReturn(readText(file, LARGEST_RETURN_BYTES), file, { all });
      if (read.ok) returns.push(read.value);
      else problems.push(read.problem);
    } catch (error) {
      if (!(error instanceof ProblemError)) throw error;
      problems.push(error.problem);
    }
  }
  if (returns.length === 0) return { problems };
  return { pupil: pupilWork(together(returns), files), problems };
}

/** Each group's, in order, on as many threads as the machine has processors. */
export async function readOnThreads(
  groups: readonly (readonly string[])[],
  all: boolean,
): Promise<PupilRead[]> {
  const work: ReadingWork = { groups, all, shared: new Int32Array(new SharedArrayBuffer(4)) };
  const found: PupilRead[] = [];
  const threads = Array.from({ length: Math.min(availableParallelism(), groups.length) }, () => {
    const worker = startWorker(new URL('./lesson-read-worker', import.meta.url), work);
    return new Promise<void>((resolve, reject) => {
      worker.on('message', ({ index, read }: GroupRead) => {
        found[index] = read;
      });
      worker.on('error', reject);
      worker.on('exit', () => resolve());
    });
  });
  await Promise.all(threads);
  return found;
}
