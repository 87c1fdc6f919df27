// A thread that reads returns: see readOnThreads.

import { parentPort, workerData } from 'node:worker_threads';
import { type GroupRead, type ReadingWork, readPupil } from './lesson-pupil.ts';

const { groups, all, shared } = workerData as ReadingWork;
for (let index = Atomics.add(shared, 0, 1); index < groups.length; index = Atomics.add(shared, 0, 1)) {
  const read: GroupRead = { index, read: readPupil(groups[index]!, all) };
  parentPort!.postMessage(read);
}
