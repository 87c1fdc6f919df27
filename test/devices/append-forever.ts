// Appends takes to the record at its first argument, from the order at its second on, in the sitting at its third, and
// says each one's order once append has returned, until it is killed. Where the record is shared it sends them too, as a
// session does.

import { writeSync } from 'node:fs';
import { setImmediate } from 'node:timers/promises';
import { need } from '../../src/commands/usage-problem.ts';
import { openDatabaseRecord } from '../../src/devices/database-record.ts';
import { SharingRecord } from '../../src/devices/sharing-record.ts';
import { madeEntry } from '../record/made-entry.ts';

const [place, first = '1', sitting = 'killed'] = process.argv.slice(2);
const opened = need(await openDatabaseRecord(place));
const record = opened.outbox.share ? new SharingRecord(opened, opened.outbox) : opened;
for (let order = Number(first); ; order += 1) {
  record.append(madeEntry(order, { sitting }));
  say(`${order}\n`);
  await setImmediate();
}

/** Whoever listens may be busy: a pipe that other threads share with this one does not wait by itself. */
function say(line: string): void {
  for (;;) {
    try {
      writeSync(1, line);
      return;
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EAGAIN') throw error;
    }
  }
}
