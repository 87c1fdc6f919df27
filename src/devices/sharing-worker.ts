// The worker thread that sends takes to a studio while somebody practises: whatever the network does, the main thread
// hears nothing of it. It looks into the outbox when it is told that a take was kept, and after a trouble again and again.

import { parentPort, workerData } from 'node:worker_threads';
import { ProblemError } from '../problem.ts';
import { openRecordBeside } from './database-record.ts';
import { noteTrouble, sendWaiting } from './sending.ts';
import { openStation, type Station } from './studio.ts';

/** After a trouble it is tried again, ever more rarely. */
const FIRST_PAUSE_MS = 2_000;
const LONGEST_PAUSE_MS = 60_000;

export interface SharingWorkerData {
  /** The record's file. */
  readonly place: string;
}
export type ToSharing = 'kept' | 'end';

let ending = false;
let wake = () => {};
parentPort?.on('message', (message: ToSharing) => {
  if (message === 'end') ending = true;
  wake();
});

const opened = await openRecordBeside((workerData as SharingWorkerData).place);
if (opened.ok) {
  const { outbox } = opened.value;
  let station: Station | undefined;
  let pauseMs = FIRST_PAUSE_MS;
  let trouble = false;
  // Whoever leaves does not wait for a studio that did not answer just now.
  while (!(ending && trouble)) {
    const news = told();
    const isLast = ending;
    trouble = false;
    try {
      const address = outbox.share?.address;
      if (address === undefined) break;
      if (!outbox.isEmpty || station) {
        station ??= await reach(address);
        await sendWaiting(outbox, station);
      }
      pauseMs = FIRST_PAUSE_MS;
    } catch (error) {
      trouble = true;
      noteTrouble(outbox, error);
      await station?.close();
      station = undefined;
    }
    // What still waits is sent the next time.
    if (isLast) break;
    await Promise.race([news, ...(trouble ? [later(pauseMs)] : [])]);
    if (trouble) pauseMs = Math.min(LONGEST_PAUSE_MS, 2 * pauseMs);
  }
  await station?.close();
  opened.value.close();
}
parentPort?.close();

function told(): Promise<void> {
  return new Promise((resolve) => {
    wake = resolve;
  });
}

function later(ms: number): Promise<void> {
  return new Promise((resolve) => {
    setTimeout(resolve, ms).unref();
  });
}

async function reach(address: string): Promise<Station> {
  const reached = await openStation(address);
  if (!reached.ok) throw new ProblemError(reached.problem);
  return reached.value;
}
