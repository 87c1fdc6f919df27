// Takes reach a studio while they are played: a real program, in real time.

import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { type AddressInfo, createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import pg from 'pg';
import { describe, expect, it } from 'vitest';
import { need } from '../../src/commands/usage-problem.ts';
import { openDatabaseRecord } from '../../src/devices/database-record.ts';
import { built } from '../built.ts';
import { fettle } from '../commands/run.ts';
import { ownFolder } from '../own-folder.ts';
import { postgresFolder, startServer, WITHOUT_POSTGRES } from './server.ts';

describe.skipIf(postgresFolder() === undefined)(`a session that is shared (${WITHOUT_POSTGRES})`, () => {
  it('has sent its first takes before it is over, and all of them soon', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'fettle-background-'));
    const own = join(folder, 'practice.db');
    const server = await startServer();
    const owner = new pg.Pool({ connectionString: server.owner });
    const count = async () => Number((await owner.query('SELECT count(*) FROM fettle.take')).rows[0].count);
    const open = async () => need(await openDatabaseRecord(own));
    try {
      await fettle(['record', 'prepare', server.owner]);
      await owner.query("CREATE ROLE drum_room LOGIN PASSWORD 'reed' IN ROLE fettle_station");
      (await open()).close();
      const address = server.address('drum_room', 'reed');
      const shared = await fettle(['record', 'share', address, '--keep-password', '--record', own]);
      expect(shared.status).toBe(0);
      const words =
        'work slipway --bars 1-2 --tempo 120 --from model:exact --plain --passes 1 --click-to off';
      const playing = spawn(process.execPath, [built('src/main.ts'), ...words.split(' '), '--record', own], {
        stdio: 'ignore',
      });
      let hasEnded = false;
      const ended = new Promise<void>((resolve) =>
        playing.on('close', () => {
          hasEnded = true;
          resolve();
        }),
      );
      while ((await count()) === 0 && !hasEnded) await new Promise((resolve) => setTimeout(resolve, 50));
      const arrivedMeanwhile = hasEnded ? 0 : await count();
      await ended;
      const record = await open();
      const kept = (await record.headings()).length;
      const { takes: waiting } = record.outbox.waiting();
      record.close();
      expect(arrivedMeanwhile).toBeGreaterThan(0);
      expect(kept).toBeGreaterThan(arrivedMeanwhile);
      // What there was no time for at the end waits for the next time.
      expect(await count()).toBe(kept - waiting);
    } finally {
      await owner.end();
      server.remove();
      rmSync(folder, { recursive: true, force: true });
    }
  });
});

describe('a session whose studio does not answer', () => {
  const folder = ownFolder();
  /** What a session in real time says, without its times, once it has ended by itself. */
  const played = async (own: string) => {
    const words =
      'work slipway --onsets 1-4 --tempo 120 --from model:exact --plain --passes 1 --click-to off --afresh';
    const playing = spawn(process.execPath, [built('src/main.ts'), ...words.split(' '), '--record', own], {
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    let said = '';
    playing.stdout.setEncoding('utf8').on('data', (text: string) => {
      said += text;
    });
    const [status] = await once(playing, 'close');
    return { status: status as number, said: said.replaceAll(/^ *\d+\.\d/gm, '') };
  };

  it('goes on as if it were not shared: a server that takes the call and stays silent, and one that is not there', async () => {
    const unshared = await played(join(folder, 'alone.db'));
    expect(unshared.said).toContain('done:');
    let calls = 0;
    // What is said to it is read, and never answered.
    const silent = createServer((socket) => {
      calls += 1;
      socket.resume().on('error', () => {});
    });
    await once(silent.listen(0, '127.0.0.1'), 'listening');
    const { port } = silent.address() as AddressInfo;
    try {
      for (const [name, at] of [
        ['silent', port],
        ['away', 1],
      ] as const) {
        const own = join(folder, `${name}.db`);
        const record = need(await openDatabaseRecord(own));
        record.outbox.begin({ address: `postgres://reed@127.0.0.1:${at}/tide`, player: 'p', since: 'now' });
        record.close();
        const shared = await played(own);
        const again = need(await openDatabaseRecord(own));
        const kept = await again.headings();
        const waiting = `${kept.length} takes still wait to be sent to postgres://reed@127.0.0.1:${at}/tide: they are kept here and sent the next time.\n`;
        expect(shared).toEqual({ status: 0, said: unshared.said + waiting });
        expect(kept.length).toBeGreaterThan(0);
        expect(again.outbox.waiting()).toEqual({ takes: kept.length, refused: [] });
        again.close();
      }
      // Or nothing was shown.
      expect(calls).toBeGreaterThan(0);
    } finally {
      silent.close();
    }
  });
});
