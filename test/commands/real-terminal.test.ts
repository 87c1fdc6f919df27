// The program in a real terminal (a pseudo-terminal), as a player starts it: the screen is drawn, every way out restores
// it, and every finished take is kept.

import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { openDatabaseRecord } from '../../src/devices/database-record.ts';
import { built } from '../built.ts';
import { isRestored, type Seated, seat } from '../pseudo-terminal.ts';
import { seen } from '../screen/emulator.ts';

const SIZE = { columns: 80, rows: 24 };

const folder = mkdtempSync(join(tmpdir(), 'fettle-terminal-'));
afterAll(() => rmSync(folder, { recursive: true }));

/** A quick session: the machine plays bar 1 at 240. */
const QUICK = [
  'work',
  'slipway',
  '--bars',
  '1',
  '--from',
  'model:exact',
  '--tempo',
  '240',
  '--passes',
  '1',
  '--click-to',
  'off',
];

describe('in a real terminal', () => {
  it('draws the work, ends with the summary and leaves by a key', async () => {
    const run = start([...QUICK]);
    await run.until('LEAD-IN');
    const lines = await seen(run.bytes(), SIZE);
    expect(lines[0]).toMatch(/Slipway at First Light +step 1 of 3/);
    await run.until('Done.');
    expect((await seen(run.bytes(), SIZE)).join('\n')).toContain('3 takes, 3 clean.');
    run.type('q');
    expect(await run.ended).toBe(0);
    expect(isRestored(run.bytes())).toBe(true);
  });

  it.each([
    ['SIGTERM', 143],
    ['SIGHUP', 129],
  ] as const)(
    'restores the screen on %s, keeps finished takes and says so by its exit status',
    async (signal, status) => {
      const record = join(folder, `${signal}.db`);
      const run = start([...QUICK, '--record', record]);
      await run.until('step 2 of 3');
      run.kill(signal);
      expect(await run.ended).toBe(status);
      expect(isRestored(run.bytes())).toBe(true);
      const opened = await openDatabaseRecord(record);
      if (!opened.ok) throw new Error(opened.problem.message);
      const takes = opened.value.headings();
      opened.value.close();
      expect(takes[0]).toMatchObject({ order: 1, clean: true, end: 'stopped' });
    },
  );

  it('says that there is nothing to hear a step with', async () => {
    const run = start([...QUICK]);
    await run.until('LEAD-IN');
    run.type('h');
    await run.until('nothing to hear it with');
    run.type('q');
    expect(await run.ended).toBe(0);
  });

  it.each([
    [['SIGINT'], 130],
    [['SIGHUP', 'SIGTERM'], 129, 143],
  ] as const)('restores the start screen on %s', async (signals, ...status) => {
    const run = start([]);
    await run.until('Who plays');
    for (const signal of signals) run.kill(signal);
    // Of two at once either may come first.
    expect(status).toContain(await run.ended);
    expect(isRestored(run.bytes())).toBe(true);
  });

  it('restores the work on two signals at once and says what came of it', async () => {
    const run = start([...QUICK]);
    await run.until('LEAD-IN');
    run.kill('SIGQUIT');
    run.kill('SIGTERM');
    expect([131, 143]).toContain(await run.ended);
    expect(isRestored(run.bytes())).toBe(true);
  });

  it('ends when nobody reads its lines any more, and that is no trouble', async () => {
    const line = `"${process.execPath}" "${built('src/main.ts')}" ${QUICK.join(' ')} --plain`;
    // The reader leaves after the first line; the status is of the program, not of the reader.
    const shell = spawn('bash', ['-c', `set -o pipefail; ${line} | head -1`], {
      env: { ...process.env, FETTLE_HOME: folder },
    });
    let heard = '';
    for (const stream of [shell.stdout, shell.stderr])
      stream.on('data', (data) => {
        heard += data;
      });
    expect(await new Promise((done) => shell.on('close', done))).toBe(0);
    expect(heard).toMatch(/^ *0\.0 {2}step 1 of 3.*\n$/);
  });

  it('ends when its window is closed', async () => {
    const run = start([...QUICK]);
    await run.until('LEAD-IN');
    run.hangUp();
    expect(await gone(run.pid)).toBe(true);
  });

  it('begins what was chosen on the start screen, and there the next time; a q among the note keys asks once more', async () => {
    const run = start([]);
    await run.until('Who plays');
    // The keyboard plays, as nothing is plugged in; down to the bars, bar 1, and begin.
    run.type('\x1b[B\x1b[C\r');
    await run.until('LEAD-IN');
    run.type('q');
    await run.until('Press q once more');
    run.type('aq');
    await run.until('Press q once more');
    run.type('q');
    expect(await run.ended).toBe(0);
    expect(isRestored(run.bytes())).toBe(true);
    const again = start([]);
    await again.until('Who plays');
    const rows = await seen(again.bytes(), SIZE);
    expect(rows.find((row) => row.includes('Bars'))).toMatch(/Bars +1 *$/);
    again.type('q');
    expect(await again.ended).toBe(0);
  });

  it('leaves on Ctrl-C with the screen restored', async () => {
    const run = start([...QUICK]);
    await run.until('LEAD-IN');
    run.type('\x03');
    expect(await run.ended).toBe(0);
    expect(isRestored(run.bytes())).toBe(true);
  });
});

// Helpers

/** Whether the process ends within some seconds. */
async function gone(pid: number): Promise<boolean> {
  for (let tries = 0; tries < 100; tries += 1) {
    try {
      process.kill(pid, 0);
    } catch {
      return true;
    }
    await new Promise((done) => setTimeout(done, 100));
  }
  return false;
}

function start(words: readonly string[]): Seated {
  return seat('src/main.ts', words, { env: { FETTLE_HOME: folder } });
}
