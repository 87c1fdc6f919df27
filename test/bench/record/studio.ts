// Sixteen stations that write at once, each killed again and again, and one PostgreSQL server that has to have every
// take once.

import { join } from 'node:path';
import pg from 'pg';
import { need } from '../../../src/commands/usage-problem.ts';
import { type DatabaseRecord, openDatabaseRecord } from '../../../src/devices/database-record.ts';
import { sendWaiting } from '../../../src/devices/sending.ts';
import { openStation, prepareStudio } from '../../../src/devices/studio.ts';
import { localDate } from '../../../src/local-date.ts';
import { ProblemError } from '../../../src/problem.ts';
import { killAgainAndAgain } from '../../studio/kills.ts';
import { startServer } from '../../studio/server.ts';

const STATIONS = 16;
const MOST_TRIES = 20;

/** `kills`: of all stations together. */
export async function benchStudio(folder: string, kills: number): Promise<string[]> {
  const server = await startServer();
  const owner = new pg.Pool({ connectionString: server.owner, options: '-c search_path=fettle' });
  try {
    need(await prepareStudio(server.owner));
    const began = performance.now();
    const stations = await Promise.all(
      Array.from({ length: STATIONS }, async (_, i) => {
        const login = `room_${i + 1}`;
        await owner.query(`CREATE ROLE ${login} LOGIN PASSWORD 'reed' IN ROLE fettle_station`);
        const address = server.address(login, 'reed');
        const place = join(folder, `${login}.db`);
        const opened = need(await openDatabaseRecord(place));
        opened.outbox.begin({ address, player: login, since: localDate(new Date()) });
        opened.close();
        const killed = await killAgainAndAgain(place, Math.max(1, Math.round(kills / STATIONS)), i + 1, [
          login,
        ]);
        const record = need(await openDatabaseRecord(place));
        await sendAll(record, address);
        record.close();
        const { rows } = await owner.query(
          'SELECT count(*)::int AS all, count(DISTINCT place)::int AS once FROM take WHERE station = $1',
          [login],
        );
        return { ...killed, ...(rows[0] as { all: number; once: number }) };
      }),
    );
    const sum = (one: (station: (typeof stations)[number]) => number) =>
      stations.reduce((all, station) => all + one(station), 0);
    const unequal = stations.filter(({ all, once, kept }) => all !== kept || once !== kept).length;
    if (unequal > 0 || sum(({ lost }) => lost.length) > 0) process.exitCode = 1;
    return [
      `${STATIONS} stations, ${STATIONS * Math.max(1, Math.round(kills / STATIONS))} kills, ${((performance.now() - began) / 1000).toFixed(0)} s: ${sum(({ acknowledged }) => acknowledged)} takes acknowledged, ${sum(({ lost }) => lost.length)} lost, ${sum(({ kept }) => kept)} kept`,
      `${sum(({ all }) => all)} in the studio, ${sum(({ all, once }) => all - once)} doubled, ${unequal} stations of which it has not all`,
    ];
  } finally {
    await owner.end();
    server.remove();
  }
}

/** As a station does after a trouble, until nothing waits: sixteen at once keep a busy machine's server waiting. */
async function sendAll({ outbox }: DatabaseRecord, address: string): Promise<void> {
  for (let tries = 1; ; tries++) {
    const opened = await openStation(address);
    try {
      const station = need(opened);
      await sendWaiting(outbox, station);
      return;
    } catch (error) {
      if (tries === MOST_TRIES || !(error instanceof ProblemError)) throw error;
    } finally {
      if (opened.ok) await opened.value.close();
    }
  }
}
