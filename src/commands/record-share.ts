// `fettle record share`: copies of the takes go to a studio's PostgreSQL as well; `fettle record prepare` makes a
// database ready for that.

import type { Outbox } from '../devices/outbox.ts';
import { hasPassword, passwordFileKey, withoutPassword } from '../devices/studio-address.ts';
import { localDate } from '../local-date.ts';
import { ProblemError } from '../problem.ts';
import { UNNAMED_PLAYER } from '../record/entry.ts';
import { counted } from '../wording/counted.ts';
import { print } from './print.ts';
import type { RecordOptions } from './record-place.ts';
import { openExisting } from './record-reading.ts';
import { need, usage } from './usage-problem.ts';

export interface ShareOptions extends RecordOptions {
  readonly keepPassword?: boolean;
  readonly stop?: boolean;
}

export async function shareRecord(address: string | undefined, options: ShareOptions): Promise<void> {
  if (options.stop && address !== undefined) {
    throw usage('option.stop', 'Cannot stop and begin to share at once: --stop takes no address');
  }
  const record = await openExisting(options);
  try {
    if (options.stop) stop(record.outbox);
    else if (address === undefined) await send(record.outbox);
    else await begin(record.outbox, address, options);
  } finally {
    record.close();
  }
}

function stop(outbox: Outbox): void {
  const { share } = outbox;
  if (!share) {
    print('This record is not shared.');
    return;
  }
  const { takes } = outbox.waiting();
  outbox.stop();
  const unsent = takes === 0 ? '' : ` ${counted(takes, 'take')} had not been sent.`;
  print(`Nothing is sent to ${withoutPassword(share.address)} any more.${unsent}`);
  print('What is there stays there: whoever looks after that database can delete it.');
}

async function begin(outbox: Outbox, address: string, options: ShareOptions): Promise<void> {
  const { openStation } = await import('../devices/studio.ts');
  const station = need(await openStation(address));
  try {
    const kept = options.keepPassword ? address : withoutPassword(address)!;
    const player = options.player ?? UNNAMED_PLAYER;
    outbox.begin({ address: kept, player, since: localDate(new Date()) });
    print(`Takes are shared with ${station.place}: all that there are, and all that come.`);
    if (player === UNNAMED_PLAYER)
      print(
        'You have given no name, so they go there under the name of this login (fettle set player NAME).',
      );
    tellPassword(address, options.keepPassword === true);
    const { sendWaiting } = await import('../devices/sending.ts');
    print(`${counted(await sendWaiting(outbox, station), 'take')} sent. fettle record share --stop ends it.`);
  } finally {
    await station.close();
  }
}

function tellPassword(address: string, isKept: boolean): void {
  if (!hasPassword(address)) return;
  print(
    isKept
      ? 'The password is kept in the record, in plain text: whoever can read that file can read it.'
      : `The password is not kept. So that takes can be sent, put the line ${passwordFileKey(address)}:PASSWORD into the file .pgpass (only you may read it) or set PGPASSWORD.`,
  );
}

/** Sends what waits, now. */
async function send(outbox: Outbox): Promise<void> {
  const { share } = outbox;
  if (!share) {
    print('This record is not shared: nothing leaves this computer.');
    print('fettle record share postgres://LOGIN@HOST/DATABASE begins.');
    return;
  }
  const { noteTrouble, sendWaiting } = await import('../devices/sending.ts');
  const { openStation } = await import('../devices/studio.ts');
  try {
    const station = need(await openStation(share.address));
    try {
      print(`${counted(await sendWaiting(outbox, station), 'take')} sent to ${station.place}.`);
    } finally {
      await station.close();
    }
  } catch (error) {
    if (error instanceof ProblemError) noteTrouble(outbox, error);
    throw error;
  }
  for (const line of shareLines(outbox)) print(line);
}

/** Where copies go, what waits and what went wrong, for people. */
export function shareLines(outbox: Outbox): string[] {
  const { share } = outbox;
  if (!share) return ['Not shared: nothing leaves this computer.'];
  const { takes, refused } = outbox.waiting();
  const minute = (date: string) => date.slice(0, 16).replace('T', ' ');
  return [
    `Shared with ${withoutPassword(share.address)} since ${share.since.slice(0, 10)}: ${
      takes === 0
        ? 'everything is sent'
        : `${counted(takes, 'take')} wait${takes === 1 ? 's' : ''} to be sent`
    }${share.sent === undefined ? '' : `, the last time ${minute(share.sent)}`}.`,
    ...(share.trouble === undefined
      ? []
      : [`The last trouble, ${minute(share.troubled!)}: ${share.trouble}`]),
    ...refused.map((one) => `The studio would not take ${one}`),
  ];
}

export async function prepare(address: string, { sql }: { readonly sql?: boolean }): Promise<void> {
  const { PREPARE_STUDIO, STATION_ROLE, TEACHER_ROLE } = await import('../devices/studio-tables.ts');
  if (sql) {
    print(PREPARE_STUDIO);
    return;
  }
  const { prepareStudio } = await import('../devices/studio.ts');
  const { place } = need(await prepareStudio(address));
  print(`${place} is ready. A login for each station and each teacher, in psql:`);
  print(`  CREATE ROLE reed_room LOGIN IN ROLE ${STATION_ROLE};   then \\password reed_room`);
  print(`  CREATE ROLE band_teacher LOGIN IN ROLE ${TEACHER_ROLE};   then \\password band_teacher`);
  print(
    'A station adds takes and reads its own; a teacher reads all. fettle record share at each station begins.',
  );
}
