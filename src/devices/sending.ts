// Takes on their way from the outbox to a studio. A batch leaves the outbox only when the studio has it: one that was
// sent and not acknowledged is sent again, and a studio takes up nothing twice.

import { localDate } from '../local-date.ts';
import { ProblemError } from '../problem.ts';
import type { Outbox } from './outbox.ts';
import { type Station, StationError } from './studio.ts';

/** Rows of the outbox that go at once. */
const BATCH = 50;

/**
 * Sends until nothing waits; returns how many takes went. Ends with a ProblemError where the studio cannot be reached.
 * @param goesOn asked between batches
 */
export async function sendWaiting(
  outbox: Outbox,
  station: Station,
  goesOn: () => boolean = () => true,
): Promise<number> {
  let sent = 0;
  // After a fault in a batch its rows go one by one, so that only the faulty one stays behind.
  let oneByOne = 0;
  while (goesOn()) {
    const share = outbox.share;
    const batch = outbox.next(oneByOne > 0 ? 1 : BATCH);
    if (!share || batch.numbers.length === 0) break;
    try {
      await station.add(batch, share.player);
      outbox.arrived(batch, localDate(new Date()));
      sent += batch.takes.length;
    } catch (error) {
      if (!(error instanceof StationError) || !error.ofData) throw error;
      if (batch.numbers.length === 1) outbox.refuse(batch, error.problem.message);
      else oneByOne = batch.numbers.length + 1;
    }
    if (oneByOne > 0) oneByOne -= 1;
  }
  return sent;
}

/** Keeps the sentence with the outbox, for `fettle record` to tell. */
export function noteTrouble(outbox: Outbox, error: unknown): void {
  const sentence =
    error instanceof ProblemError ? error.problem.message : `A bug in Fettle, not in the network: ${error}`;
  outbox.noteTrouble(sentence, localDate(new Date()));
}
