// --record and --player: where the practice record is kept. A simulated player's takes go there only when it is asked
// for.

import { recordPlace } from '../devices/home.ts';
import type { PracticeRecord } from '../ports/practice-record.ts';
import { EXIT } from '../problem.ts';
import { MemoryRecord } from '../simulation/memory-record.ts';
import { printTrouble } from './print.ts';
import { need, usage } from './usage-problem.ts';

export interface RecordOptions {
  readonly record?: string;
  /** Whose takes these are. */
  readonly player?: string;
}

export async function openRecord(
  { record: path, player }: RecordOptions,
  simulated: boolean,
): Promise<PracticeRecord> {
  if (path === undefined && simulated) return new MemoryRecord();
  if (path === '') throw usage('option.record', 'Cannot keep the practice record: --record needs a file');
  const { openDatabaseRecord } = await import('../devices/database-record.ts');
  const { RescuingRecord } = await import('../devices/rescuing-record.ts');
  return new RescuingRecord(need(await openDatabaseRecord(path ?? (await recordPlace(player)))));
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
