// --record and --player: where the practice record is kept on this computer.

import { resolve } from 'node:path';
import { recordPlace } from '../devices/home.ts';
import { isStudioAddress } from '../devices/studio-address.ts';
import { usage } from './usage-problem.ts';

export interface RecordOptions {
  readonly record?: string;
  /** Whose takes these are. */
  readonly player?: string;
}

/** Throws a ProblemError for a studio: only copies are there. */
export async function placeOf({ record, player }: RecordOptions): Promise<string> {
  if (record === '') throw usage('option.record', 'Cannot find the practice record: --record needs a file');
  if (record !== undefined && isStudioAddress(record)) {
    throw usage(
      'option.record',
      "Cannot write to a studio's record: it has copies of what the stations keep",
      'Leave out --record to use the record on this computer; fettle record share sends its takes.',
    );
  }
  return resolve(record ?? (await recordPlace(player)));
}
