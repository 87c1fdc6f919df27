// A studio's record on a real PostgreSQL server: copies arrive once each, whatever is lost on the way; a station reads
// its own, a teacher all, and nobody may do more.

import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import pg from 'pg';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { need } from '../../src/commands/usage-problem.ts';
import { openDatabase } from '../../src/devices/database.ts';
import { type DatabaseRecord, openDatabaseRecord } from '../../src/devices/database-record.ts';
import { sendWaiting } from '../../src/devices/sending.ts';
import { openStation, openStudioReader, type Station } from '../../src/devices/studio.ts';
import { type Problem, ProblemError } from '../../src/problem.ts';
import type { Entry } from '../../src/record/entry.ts';
import { fettle } from '../commands/run.ts';
import { ownFolder } from '../own-folder.ts';
import { allEntries } from '../record/kept-takes.ts';
import { madeEntry } from '../record/made-entry.ts';
import { sample, WHOLE } from '../sample.ts';
import { planFor } from '../session/simulate.ts';
import { killAgainAndAgain } from './kills.ts';
import { postgresFolder, type StudioServer, startServer, WITHOUT_POSTGRES } from './server.ts';

const SINCE = '2026-11-24T08:00:00.000+01:00';

/** Not in the quick tests: what needs hundreds of takes, a server that goes away, or every command. */
const dear = it.skipIf(!WHOLE);

describe.skipIf(postgresFolder() === undefined)(`a studio on a real server (${WITHOUT_POSTGRES})`, () => {
  const folder = ownFolder();
  const file = (name: string) => join(folder, name);
  const home = process.env.FETTLE_HOME;
  let server: StudioServer;
  let owner: pg.Pool;
  const station = (login: string) => server.address(login, 'reed');
  const teacher = () => server.address('band_teacher', 'baton');

  beforeAll(async () => {
    process.env.FETTLE_HOME = file('home');
    server = await startServer();
    expect(await fettle(['record', 'prepare', server.owner])).toMatchObject({ status: 0 });
    owner = new pg.Pool({ connectionString: server.owner, options: '-c search_path=fettle' });
    owner.on('error', () => {});
    for (const login of ['reed_room', 'brass_room'])
      await owner.query(`CREATE ROLE ${login} LOGIN PASSWORD 'reed' IN ROLE fettle_station`);
    await owner.query("CREATE ROLE band_teacher LOGIN PASSWORD 'baton' IN ROLE fettle_teacher");
    await owner.query("CREATE ROLE passer_by LOGIN PASSWORD 'reed'");
  });
  afterAll(async () => {
    await owner?.end();
    server?.remove();
    process.env.FETTLE_HOME = home;
  });
  afterEach(async () => {
    await owner.query('TRUNCATE take, step, passage, setting RESTART IDENTITY');
  });

  async function connect(address: string): Promise<pg.Client> {
    const client = new pg.Client({ connectionString: address });
    client.on('error', () => {});
    await client.connect();
    return client;
  }

  async function sharing(name: string, login: string, entries: readonly Entry[]): Promise<DatabaseRecord> {
    const record = need(await openDatabaseRecord(file(name)));
    record.outbox.begin({ address: station(login), player: 'player', since: SINCE });
    record.add(entries);
    return record;
  }

  async function sent(record: DatabaseRecord): Promise<number> {
    const there = need(await openStation(record.outbox.share!.address));
    try {
      return await sendWaiting(record.outbox, there);
    } finally {
      await there.close();
    }
  }

  const count = async (what = 'take') =>
    Number((await owner.query(`SELECT count(*) FROM ${what}`)).rows[0].count);
  const takes = (count: number, more: Partial<Entry> = {}) =>
    Array.from({ length: count }, (_, i) => madeEntry(i + 1, more));

  it('gives every take back as the station has it', async () => {
    const { span } = await planFor('slipway', { bars: '1' });
    const own = need(await openDatabaseRecord(file('whole.db')));
    const fingerprint = own.keepPassage(span.passage);
    const together = { section: 'reeds', take: 1, attendance: 'counted', needed: 2 } as const;
    own.add([...takes(119, { fingerprint }), madeEntry(120, { fingerprint, together })]);
    own.append(madeEntry(121, { clean: false, end: 'skipped' }));
    own.remember('goals', { [fingerprint]: 'a goal' });
    own.outbox.begin({ address: station('reed_room'), player: 'Ilse', since: SINCE });
    expect(own.outbox.waiting().takes).toBe(121);
    expect(await sent(own)).toBe(121);
    expect(own.outbox.isEmpty).toBe(true);
    const reader = need(await openStudioReader(teacher()));
    expect(await allEntries(reader)).toStrictEqual(await allEntries(own));
    expect(await reader.passage(fingerprint)).toStrictEqual(JSON.parse(JSON.stringify(span.passage)));
    expect(await reader.recalled('goals', ['Ilse'])).toEqual([{ [fingerprint]: 'a goal' }]);
    expect(await reader.recalled('goals', ['Bo'])).toEqual([]);
    // Every question has the same answer from both.
    const mine = await own.reader();
    for (const filter of [
      {},
      { players: ['Ilse'], limit: 7 },
      { fingerprint, first: 1, last: 8, from: '2026-11-23', to: '2026-11-23' },
      { passage: 'harbour-reel', drill: 'landings' },
      { section: 'reeds' },
      { to: '2026-11-22' },
      { players: [] },
    ]) {
      expect(await reader.summaries(filter)).toStrictEqual(await mine.summaries(filter));
      expect(await reader.headings(filter)).toStrictEqual(await mine.headings(filter));
      expect(await reader.days(filter)).toStrictEqual(await mine.days(filter));
    }
    expect(await reader.counts()).toStrictEqual(await mine.counts());
    expect(await reader.players()).toEqual(['Ilse']);
    expect((await reader.take())?.entry).toStrictEqual((await mine.take())?.entry);
    await reader.close();
    own.close();
  });

  it('that an older Fettle prepared is prepared again, and has what it had', async () => {
    const record = await sharing('older.db', 'reed_room', takes(3));
    await sent(record);
    // As format 1 made it.
    await owner.query('ALTER TABLE take DROP COLUMN section, DROP COLUMN together');
    await owner.query('UPDATE format SET version = 1');
    record.append(madeEntry(4));
    await expect(sent(record)).rejects.toMatchObject({ problem: { code: 'studio.older', exitStatus: 5 } });
    expect(record.outbox.waiting().takes).toBe(1);
    expect(await fettle(['record', 'prepare', server.owner])).toMatchObject({ status: 0 });
    expect(await sent(record)).toBe(1);
    expect(await count()).toBe(4);
    expect((await owner.query('SELECT version FROM format')).rows).toEqual([{ version: 2 }]);
    record.close();
  });

  dear('has the takes of players at two stations, who are compared afterwards', async () => {
    const players = { Oboe: ['reed_room', 'offset=30'], Bassoon: ['brass_room', 'offset=-12'] } as const;
    for (const [player, [login, offset]] of Object.entries(players)) {
      const own = ['--record', file(`${player}.db`)];
      const line = `work slackwater --part ${player} --player ${player} --drill through --tempo 80 --passes 1`;
      await fettle([...line.split(' '), '--from', `model:exact,${offset}`, '--fast', ...own]);
      expect(await fettle(['record', 'share', station(login), ...own])).toMatchObject({ status: 0 });
    }
    const line = `section compare reeds slackwater --json --without Clarinet --record ${teacher()}`;
    const { out, err } = await fettle(line.split(' '));
    expect(err).toBe('');
    expect(JSON.parse(out)).toMatchObject({
      clean: true,
      asynchronyMs: 0,
      pairs: [{ a: 'Oboe', b: 'Bassoon', leadMs: 42 }],
    });
  });

  it('has each take once, however often it is sent and from wherever', async () => {
    const record = await sharing('twice.db', 'reed_room', takes(60));
    await sent(record);
    // To begin again sends everything again.
    record.outbox.begin({ address: station('reed_room'), player: 'player', since: SINCE });
    expect(await sent(record)).toBe(60);
    expect(await count()).toBe(60);
    expect(await count('step')).toBe(1);
    // The record was carried to another station.
    const carried = await sharing('carried.db', 'brass_room', takes(70));
    expect(await sent(carried)).toBe(70);
    expect(await count()).toBe(70);
    record.close();
    carried.close();
  });

  dear(
    'goes on where it was when the connection is lost in the middle, or the answer to a batch',
    async () => {
      const record = await sharing('lost.db', 'reed_room', takes(300));
      const there = need(await openStation(station('reed_room')));
      let batches = 0;
      await expect(
        sendWaiting(record.outbox, there, () => {
          batches += 1;
          if (batches === 3)
            void owner.query(
              "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE usename = 'reed_room'",
            );
          return true;
        }),
      ).rejects.toMatchObject({ problem: { code: 'studio.unreachable' } });
      await there.close().catch(() => {});
      const left = record.outbox.waiting().takes;
      expect(left).toBeGreaterThan(0);
      // A batch that arrived, and nobody was told.
      const again = need(await openStation(station('reed_room')));
      await again.add(record.outbox.next(50), 'player');
      await again.close();
      expect(await sent(record)).toBe(left);
      expect(await count()).toBe(300);
      record.close();
    },
  );

  dear('is caught up with after the server was away', async () => {
    const record = await sharing('away.db', 'reed_room', takes(5));
    await sent(record);
    server.stop();
    record.append(madeEntry(6));
    await expect(sent(record)).rejects.toMatchObject({
      problem: { code: 'studio.unreachable', exitStatus: 5 },
    });
    record.close();
    const away = await fettle(['record', 'share', '--record', file('away.db')]);
    expect([away.status, away.err]).toEqual([5, expect.stringContaining('the server does not answer')]);
    const told = await fettle(['record', '--record', file('away.db')]);
    expect(told.out).toContain('1 take waits to be sent');
    expect(told.out).toMatch(/The last trouble, \d{4}-\d\d-\d\d \d\d:\d\d: .*the server does not answer/);
    server.start();
    const back = await fettle(['record', 'share', '--record', file('away.db')]);
    expect(back.out).toMatch(/^1 take sent/);
    expect(back.out).toContain('everything is sent');
    expect(back.out).not.toContain('trouble');
    expect(await count()).toBe(6);
  });

  dear('learns what a later judge says', async () => {
    const record = await sharing('judged.db', 'reed_room', takes(3));
    await sent(record);
    const [first] = await allEntries(record);
    const judged: Entry = { ...first!, judge: 99, clean: false, sentence: 'Rushed.' };
    record.replaceJudgements([{ number: 1, entry: judged }]);
    expect(await sent(record)).toBe(1);
    const reader = need(await openStudioReader(teacher()));
    expect((await allEntries(reader))[0]).toStrictEqual(judged);
    await reader.close();
    record.close();
  });

  dear('sets a take aside that the server will not have, and sends the others', async () => {
    const record = await sharing('refused.db', 'reed_room', takes(20));
    record.append(madeEntry(21, { stepLast: 3_000_000_000 }));
    record.add(takes(30).slice(21));
    expect(await sent(record)).toBe(29);
    expect(record.outbox.waiting()).toMatchObject({
      takes: 0,
      refused: [expect.stringMatching(/^take 21: /)],
    });
    expect(record.outbox.isEmpty).toBe(true);
    expect(await count()).toBe(29);
    record.close();
  });

  it('lets a station see and add its own only, a teacher everything and change nothing, and nobody else in', async () => {
    const reeds = await sharing('reeds.db', 'reed_room', takes(4, { player: 'Ilse' }));
    const brass = await sharing('brass.db', 'brass_room', takes(3, { player: 'Bo', sitting: 'brass' }));
    await sent(reeds);
    await sent(brass);
    reeds.close();
    brass.close();
    const asReeds = await connect(station('reed_room'));
    const asTeacher = await connect(teacher());
    const rows = async (client: pg.Client, query: string) => (await client.query(query)).rows;
    const refuses = (client: pg.Client, query: string) =>
      expect(client.query(query)).rejects.toMatchObject({ code: '42501' });
    for (const table of ['take', 'step']) {
      const who = await rows(asReeds, `SELECT DISTINCT station FROM fettle.${table}`);
      expect(who).toEqual([{ station: 'reed_room' }]);
      expect(await rows(asTeacher, `SELECT DISTINCT station FROM fettle.${table} ORDER BY 1`)).toHaveLength(
        2,
      );
    }
    expect(await rows(asReeds, 'SELECT count(*)::int AS n FROM fettle.take')).toEqual([{ n: 4 }]);
    expect(await rows(asTeacher, 'SELECT count(*)::int AS n FROM fettle.take')).toEqual([{ n: 7 }]);
    await refuses(asReeds, 'DELETE FROM fettle.take');
    await refuses(asReeds, "UPDATE fettle.take SET player = 'Bo'");
    await refuses(asReeds, "UPDATE fettle.take SET station = 'brass_room'");
    await refuses(asReeds, 'TRUNCATE fettle.take');
    await refuses(
      asReeds,
      "INSERT INTO fettle.passage (station, fingerprint, name, body) VALUES ('brass_room', 'f', 'n', '{}')",
    );
    // Its own verdicts it may replace; no others are seen.
    expect((await asReeds.query('UPDATE fettle.take SET judge = 3')).rowCount).toBe(4);
    for (const query of [
      'DELETE FROM fettle.take',
      'UPDATE fettle.take SET judge = 4',
      "INSERT INTO fettle.setting (player, name, value) VALUES ('Bo', 'goals', '{}')",
    ])
      await refuses(asTeacher, query);
    await asReeds.end();
    await asTeacher.end();
    const passing = await fettle(['record', '--record', station('passer_by')]);
    expect([passing.status, passing.err]).toEqual([
      5,
      expect.stringContaining('fettle_station or fettle_teacher'),
    ]);
    const teaching = await fettle(['record', 'share', teacher(), '--record', file('reeds.db')]);
    expect([teaching.status, teaching.err]).toEqual([5, expect.stringContaining('this login is no station')]);
  });

  dear(
    'is written to by sixteen stations at once: nothing is lost, nothing doubled',
    async () => {
      const rooms = Array.from({ length: 16 }, (_, i) => `room_${i + 1}`);
      for (const room of rooms)
        await owner.query(`CREATE ROLE ${room} LOGIN PASSWORD 'reed' IN ROLE fettle_station`);
      // Every third take is one that every room has: a record that was carried about.
      const each = sample(150, 12);
      const entriesOf = (room: string) =>
        takes(each).map((entry, i) => (i % 3 === 0 ? entry : { ...entry, sitting: room, player: room }));
      await Promise.all(
        rooms.map(async (room) => {
          const record = await sharing(`${room}.db`, room, entriesOf(room));
          // The network takes some of them down in the middle.
          for (let tries = 0; !record.outbox.isEmpty && tries < 50; tries += 1) {
            let there: Station | undefined;
            try {
              there = need(await openStation(station(room)));
              await sendWaiting(record.outbox, there, () => {
                if (tries === 0)
                  void owner
                    .query('SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE usename = $1', [
                      room,
                    ])
                    .catch(() => {});
                return true;
              });
            } catch (error) {
              if (!(error instanceof ProblemError)) throw error;
            } finally {
              await there?.close().catch(() => {});
            }
          }
          expect(record.outbox.isEmpty).toBe(true);
          record.close();
        }),
      );
      const { rows } = await owner.query('SELECT who, count(*)::int AS n FROM take GROUP BY who');
      const byRoom = Object.fromEntries(rows.map(({ who, n }) => [who, n]));
      for (const room of rooms) expect(byRoom[room]).toBe((each * 2) / 3);
      expect(byRoom.Ilse).toBe(each / 3);
      expect(await count()).toBe((16 * each * 2) / 3 + each / 3);
    },
    180_000,
  );

  dear(
    'has what was acknowledged, once, however often the station is killed',
    async () => {
      const own = file('killed.db');
      const record = need(await openDatabaseRecord(own));
      record.outbox.begin({ address: station('reed_room'), player: 'Ilse', since: SINCE });
      record.close();
      const { acknowledged, kept, lost, damage } = await killAgainAndAgain(own, sample(50, 3), 11);
      expect(lost).toEqual([]);
      expect(damage).toEqual([]);
      expect(acknowledged).toBeGreaterThan(0);
      const again = need(await openDatabaseRecord(own));
      await sent(again);
      again.close();
      const orders = await owner.query(
        'SELECT count(*)::int AS all, count(DISTINCT place)::int AS once FROM take',
      );
      expect(orders.rows[0]).toEqual({ all: kept, once: kept });
    },
    180_000,
  );

  dear('is read by every command that reads a record, and the words are the record’s own', async () => {
    const own = file('worked.db');
    for (const bars of ['1', '2']) {
      const worked = await fettle(
        `work slipway --bars ${bars} --from model:beginner,seed=4 --fast --plain --passes 1 --player Ilse --record ${own}`,
      );
      expect(worked.status).toBe(0);
    }
    await fettle(`goal slipway --bars 1-2 --tempo 80 --by 2099-03-14 --record ${own}`);
    expect(
      await fettle(['record', 'share', station('reed_room'), '--record', own, '--player', 'Ilse']),
    ).toMatchObject({
      status: 0,
    });
    for (const words of [
      'today --minutes 12',
      'today --json',
      'progress',
      'progress --json',
      'progress slipway',
      'progress slipway --bars 1 --json',
      'goal',
      'record verify',
      'record take last',
      'record rejudge',
    ]) {
      const mine = await fettle(`${words} --record ${own}`);
      const studios = await fettle([...words.split(' '), '--record', teacher()]);
      expect([words, studios.status, studios.err]).toEqual([words, 0, '']);
      expect([words, studios.out]).toEqual([words, mine.out]);
    }
    for (const [command, name] of [
      ['report slipway --out', 'page.html'],
      ['record export', 'all.jsonl'],
      ['record export', 'all.csv'],
    ] as const) {
      await fettle([...command.split(' '), file(`own-${name}`), '--record', own]);
      await fettle([...command.split(' '), file(`studio-${name}`), '--record', teacher()]);
      expect(readFileSync(file(`studio-${name}`), 'utf8')).toBe(readFileSync(file(`own-${name}`), 'utf8'));
    }
    const summary = await fettle(['record', '--record', teacher()]);
    expect(summary.out).toContain('Players: Ilse');
    // What writes keeps to the record on this computer.
    for (const words of [
      'work slipway --from model --fast',
      'goal slipway --by 2099-01-01',
      'record rejudge --write',
      'record import',
    ]) {
      const refused = await fettle([...words.split(' '), '--record', teacher()]);
      expect([words, refused.status, refused.err]).toEqual([words, 2, expect.stringContaining('copies')]);
    }
  });

  dear(
    'asks whose practice is meant where there are several, and tells unnamed players by their station',
    async () => {
      const reeds = await sharing('whose-reeds.db', 'reed_room', takes(4, { player: 'Ilse' }));
      const brass = await sharing(
        'whose-brass.db',
        'brass_room',
        takes(3, { player: 'player', sitting: 'brass' }),
      );
      await sent(reeds);
      await sent(brass);
      reeds.close();
      brass.close();
      // Whom a teacher practises as has nothing to do with whom the teacher looks at.
      await fettle('set player Ole');
      const asked = await fettle(['today', '--record', teacher()]);
      expect([asked.status, asked.err]).toEqual([2, expect.stringContaining('Ilse, brass_room')]);
      const all = await fettle(['progress', '--record', teacher()]);
      expect(all.out).toMatch(/^Ilse, harbour-reel: 4 takes.*\nbrass_room, harbour-reel: 3 takes/);
      const one = await fettle(['progress', '--player', 'brass_room', '--record', teacher()]);
      expect(one.out).toMatch(/^harbour-reel: 3 takes/);
      expect((await fettle('set')).out).toMatch(/player +Ole/);
      const nobody = await fettle(['progress', '--player', 'Ole', '--record', teacher()]);
      expect([nobody.status, nobody.err]).toEqual([2, expect.stringContaining('Cannot find a take of Ole')]);
    },
  );

  it('keeps no password and prints none, unless that was asked for', async () => {
    const own = need(await openDatabaseRecord(file('secret.db')));
    own.append(madeEntry(1));
    own.close();
    const began = await fettle(['record', 'share', station('reed_room'), '--record', file('secret.db')]);
    expect(began.out).toContain('The password is not kept');
    expect(began.out).toMatch(/127\.0\.0\.1:\d+:postgres:reed_room:PASSWORD/);
    expect(`${began.out}${began.err}`).not.toContain(':reed@');
    const kept = async () => {
      const database = await openDatabase(file('secret.db'));
      const [row] = database.all('SELECT address FROM share', []);
      database.close();
      return String(row!.address);
    };
    expect(await kept()).toBe(server.address('reed_room'));
    // The password comes from where PostgreSQL's own programs have it.
    const without = await fettle(['record', 'share', '--record', file('secret.db')]);
    expect([without.status, without.err]).toEqual([
      5,
      expect.stringContaining('PGPASSWORD or the file .pgpass'),
    ]);
    writeFileSync(file('.pgpass'), `127.0.0.1:*:*:reed_room:reed\n`, { mode: 0o600 });
    process.env.PGPASSFILE = file('.pgpass');
    try {
      expect((await fettle(['record', 'share', '--record', file('secret.db')])).out).toMatch(/^0 takes sent/);
    } finally {
      delete process.env.PGPASSFILE;
    }
    const open = await fettle([
      'record',
      'share',
      station('reed_room'),
      '--keep-password',
      '--record',
      file('secret.db'),
    ]);
    expect(open.out).toContain('in plain text');
    expect(await kept()).toBe(station('reed_room'));
    const shown = await fettle(['record', '--record', file('secret.db')]);
    expect(shown.out).toContain(`Shared with ${server.address('reed_room')} since`);
    const wrong = await fettle(['record', '--record', server.address('reed_room', 'not the word')]);
    expect(wrong.status).toBe(5);
    expect(`${wrong.out}${wrong.err}`).not.toContain('not%20the%20word');
    const stopped = await fettle(['record', 'share', '--stop', '--record', file('secret.db')]);
    expect(stopped.out).toContain('any more');
    expect((await fettle(['record', '--record', file('secret.db')])).out).toContain(
      'nothing leaves this computer',
    );
    const after = need(await openDatabaseRecord(file('secret.db')));
    after.append(madeEntry(2));
    expect(after.outbox.waiting().takes).toBe(0);
    after.close();
  });

  dear('is prepared a second time without a change, and refuses what is newer', async () => {
    const record = await sharing('prepared.db', 'reed_room', takes(2));
    await sent(record);
    record.close();
    expect((await fettle(['record', 'prepare', server.owner])).status).toBe(0);
    expect(await count()).toBe(2);
    const stranger = await fettle(['record', 'prepare', station('passer_by')]);
    expect(stranger.status).toBe(5);
    await owner.query('UPDATE format SET version = 99');
    const newer = await openStudioReader(teacher());
    await owner.query('UPDATE format SET version = 1');
    const problem: Problem | undefined = newer.ok ? undefined : newer.problem;
    expect(problem).toMatchObject({ code: 'studio.newer' });
    expect((await fettle('record prepare --sql postgres://x@y/z')).out).toContain(
      'CREATE POLICY own ON take',
    );
  });
});
