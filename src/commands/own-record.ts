// The practice record on this computer, opened; what has to be done to it first, and takes a while, is told.

import { type DatabaseRecord, openDatabaseRecord, type TellUpkeep } from '../devices/database-record.ts';
import { printable } from '../printable.ts';
import { printTrouble } from './print.ts';
import { placeOf, type RecordOptions } from './record-place.ts';
import { need } from './usage-problem.ts';

/** A new one where there is none yet. Throws a ProblemError. */
export async function openOwnRecord(options: RecordOptions): Promise<DatabaseRecord> {
  return openRecordAt(await placeOf(options));
}

export async function openRecordAt(place: string): Promise<DatabaseRecord> {
  return need(await openDatabaseRecord(place, upkeepLine(process.stderr)));
}

/** In a terminal one line that changes, elsewhere one that is said once. */
export function upkeepLine(to: {
  readonly isTTY?: boolean;
  readonly columns?: number;
  write(text: string): unknown;
}): TellUpkeep {
  let isTold = false;
  return (sentence) => {
    if (sentence === undefined) {
      if (isTold && to.isTTY) to.write('\n');
    } else if (to.isTTY) {
      const width = Math.max(20, (to.columns || 80) - 1);
      to.write(`\r${printable(sentence).slice(-width).padEnd(width)}`);
      isTold = true;
    } else if (!isTold) {
      printTrouble(sentence);
      isTold = true;
    }
  };
}
