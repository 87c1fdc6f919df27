// A thread that reads returns: see readOnThreads.

import { parentPort, workerData } from 'node:worker_threads';
import { type ReadingWork, readOpenGroups } from './lesson-pupil.ts';

await readOpenGroups(workerData as ReadingWork, (read) => parentPort!.postMessage(read));
