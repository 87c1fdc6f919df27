// The record that is written to. A simulated player's takes go there only when it is asked for.

import type { DatabaseRecord } from '../devices/database-record.ts';
import type { PracticeRecord } from '../ports/practice-record.ts';
import { EXIT } from '../problem.ts';
import { MemoryRecord } from '../simulation/memory-record.ts';
import { printTrouble } from './print.ts';
import type { RecordOptions } from './record-place.ts';

export async function openRecord(options: RecordOptions, simulated: boolean): Promise<PracticeRecord> {
  if (options.record === undefined && simulated) return new MemoryRecord();
  const { RescuingRecord } = await import('../devices/rescuing-record.ts');
  return new RescuingRecord(await openOwn(options));
}

/** For takes to be kept in: where they are shared they are also sent, in the background. */
export async function openSessionRecord(options: RecordOptions, simulated: boolean): Promise<PracticeRecord> {
  if (options.record === undefined && simulated) return new MemoryRecord();
  const { RescuingRecord } = await import('../devices/rescuing-record.ts');
  const own = await openOwn(options);
  const record = new RescuingRecord(own);
  if (!own.outbox.share) return record;
  const { SharingRecord } = await import('../devices/sharing-record.ts');
  return new SharingRecord(record, own.outbox);
}

async function openOwn(options: RecordOptions): Promise<DatabaseRecord> {
  const { openOwnRecord } = await import('./own-record.ts');
  return openOwnRecord(options);
}

const MOST_NAMED = 3;

/** Told at the end where takes are that the record could not take up; the exit status says it too. */
export function tellRescued({ rescued }: PracticeRecord): void {
  if (!rescued || rescued.length === 0) return;
  process.exitCode ??= EXIT.record;
  const others = rescued.length - MOST_NAMED;
  const lines = [
    rescued.length === 1
      ? 'fettle: A take is not in the practice record but in a file of its own:'
      : `fettle: ${rescued.length} takes are not in the practice record but in files of their own:`,
    ...rescued.slice(0, MOST_NAMED).map((file) => `  ${file}`),
    ...(others > 0 ? [`  and ${others} more beside them`] : []),
    '  When the record can be written to again, fettle record import takes them up.',
  ];
  printTrouble(lines.join('\n'));
}
