// Appends takes to the record at its argument and says each one's order once append has returned, until it is killed.

import { writeSync } from 'node:fs';
import { openDatabaseRecord } from '../../src/devices/database-record.ts';
import { madeEntry } from '../record/made-entry.ts';

const opened = await openDatabaseRecord(process.argv[2]);
if (!opened.ok) throw new Error(opened.problem.message);
for (let order = 1; ; order += 1) {
  opened.value.append(madeEntry(order, { sitting: 'killed' }));
  writeSync(1, `${order}\n`);
}
