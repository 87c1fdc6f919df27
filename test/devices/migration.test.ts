// A record of an older format that is brought up to date: nothing is lost whenever the program is killed, a copy that has
// its name is whole, and what takes a while is told.

import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { copyFileSync, mkdirSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { beforeAll, expect, it } from 'vitest';
import { upkeepLine } from '../../src/commands/own-record.ts';
import { need } from '../../src/commands/usage-problem.ts';
import { openDatabase } from '../../src/devices/database.ts';
import { openDatabaseRecord } from '../../src/devices/database-record.ts';
import { Random } from '../../src/simulation/random.ts';
import { built } from '../built.ts';
import { ownFolder } from '../own-folder.ts';
import { madeEntry } from '../record/made-entry.ts';
import { sample } from '../sample.ts';

const folder = ownFolder();
const old = join(folder, 'old.db');
const TAKES = 40;
const KILLS = sample(40, 3);
/** More than what is told from. */
const BYTES_EACH = 600_000;

// One of format 4: it has another index of days.
beforeAll(async () => {
  const record = need(await openDatabaseRecord(old));
  record.add(Array.from({ length: TAKES }, (_, i) => madeEntry(i + 1)));
  record.close();
  const database = await openDatabase(old);
  database.run('UPDATE take SET sitting = sitting || hex(zeroblob(?))', [BYTES_EACH / 2]);
  database.execute(`DROP INDEX take_of_player; CREATE INDEX take_of_player ON take (player, music, date);
    PRAGMA user_version = 4; PRAGMA wal_checkpoint(TRUNCATE);`);
  database.close();
});

function copyOfOld(name: string): string {
  mkdirSync(join(folder, name));
  const file = join(folder, name, 'practice.db');
  copyFileSync(old, file);
  return file;
}

async function takesIn(file: string): Promise<{ takes: number; whole: unknown; format: unknown }> {
  const database = await openDatabase(file);
  const one = (sql: string) => Object.values(database.all(sql, [])[0]!)[0];
  const found = {
    takes: Number(one('SELECT count(*) FROM take')),
    whole: one('PRAGMA integrity_check'),
    format: one('PRAGMA user_version'),
  };
  database.close();
  return found;
}

it('loses nothing when the program is killed in the middle', async () => {
  const random = new Random(7);
  for (let kill = 0; kill < KILLS; kill++) {
    const file = copyOfOld(`killed-${kill}`);
    const child = spawn(process.execPath, [built('src/main.ts'), 'record', '--record', file], {
      stdio: ['ignore', 'ignore', 'pipe'],
    });
    // From when it tells what it does.
    await Promise.race([once(child.stderr, 'data'), once(child, 'close')]);
    await sleep(random.between(0, 150));
    child.kill('SIGKILL');
    if (child.exitCode === null && child.signalCode === null) await once(child, 'close');
    const copies = readdirSync(join(folder, `killed-${kill}`)).filter((name) => /format-4.*\.db$/.test(name));
    for (const copy of copies)
      expect(await takesIn(join(folder, `killed-${kill}`, copy))).toEqual({
        takes: TAKES,
        whole: 'ok',
        format: 4,
      });
    need(await openDatabaseRecord(file)).close();
    expect(await takesIn(file)).toEqual({ takes: TAKES, whole: 'ok', format: 5 });
    expect(readdirSync(join(folder, `killed-${kill}`)).some((name) => name.includes('.part'))).toBe(false);
  }
});

it('tells what is done and how far it is, and nothing of a record that is up to date', async () => {
  const file = copyOfOld('told');
  const told: (string | undefined)[] = [];
  const open = async () => need(await openDatabaseRecord(file, (sentence) => told.push(sentence))).close();
  await open();
  expect(told).toEqual([
    expect.stringMatching(
      /^The practice record is brought up to date \(\d+ MB, 1 of 2\): a copy beside it \.\.\.$/,
    ),
    expect.stringMatching(/ 2 of 2\): the index of days \.\.\.$/),
    undefined,
  ]);
  await open();
  expect(told).toHaveLength(3);
});

it('is one line that changes in a terminal, however narrow, and ends it', () => {
  const written: string[] = [];
  const tell = upkeepLine({ isTTY: true, columns: 30, write: (text: string) => written.push(text) });
  tell('one that is much too long for so narrow a terminal');
  tell('two');
  tell(undefined);
  const unsized: string[] = [];
  // A terminal that does not tell how wide it is.
  upkeepLine({ isTTY: true, columns: 0, write: (text: string) => unsized.push(text) })('three');
  expect(unsized).toEqual([`\r${'three'.padEnd(79)}`]);
  expect(written.map((text) => text.length)).toEqual([30, 30, 1]);
  expect(written.join('')).toBe(`\rlong for so narrow a terminal\r${'two'.padEnd(29)}\n`);
});
