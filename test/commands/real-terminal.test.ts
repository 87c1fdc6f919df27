// The program in a real terminal (a pseudo-terminal), as a player starts it: the screen is drawn, every way out restores
// it, and every finished take is kept.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { spawn } from '@lydell/node-pty';
import { afterAll, describe, expect, it } from 'vitest';
import { openDatabaseRecord } from '../../src/devices/database-record.ts';
import { seen } from '../screen/emulator.ts';

const MAIN = resolve(import.meta.dirname, '../../src/main.ts');
const SIZE = { columns: 80, rows: 24 };
const LEAVES_ALTERNATE_SCREEN = '\x1b[?1049l';
const SHOWS_CURSOR = '\x1b[?25h';

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
    expect(run.bytes()).toContain(LEAVES_ALTERNATE_SCREEN);
    expect(run.bytes()).toContain(SHOWS_CURSOR);
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
      expect(run.bytes()).toContain(LEAVES_ALTERNATE_SCREEN);
      const opened = await openDatabaseRecord(record);
      if (!opened.ok) throw new Error(opened.problem.message);
      const takes = opened.value.entries();
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

  it('leaves on Ctrl-C with the screen restored', async () => {
    const run = start([...QUICK]);
    await run.until('LEAD-IN');
    run.type('\x03');
    expect(await run.ended).toBe(0);
    expect(run.bytes()).toContain(LEAVES_ALTERNATE_SCREEN);
  });
});

// Helpers

interface Run {
  readonly ended: Promise<number>;
  bytes(): string;
  type(keys: string): void;
  kill(signal: string): void;
  /** Resolves once the text has been written. */
  until(text: string): Promise<void>;
}

function start(words: readonly string[]): Run {
  const env = {
    ...process.env,
    TERM: 'xterm-256color',
    LANG: 'C.UTF-8',
    HOME: folder,
    XDG_DATA_HOME: folder,
  };
  const pty = spawn(process.execPath, ['--import', 'tsx', MAIN, ...words], {
    cols: SIZE.columns,
    rows: SIZE.rows,
    env,
    cwd: resolve(MAIN, '../..'),
  });
  let bytes = '';
  const waiting: { text: string; resolve: () => void; reject: (error: Error) => void }[] = [];
  pty.onData((data) => {
    bytes += data;
    for (const one of waiting) if (bytes.includes(one.text)) one.resolve();
  });
  const ended = new Promise<number>((resolve) => {
    pty.onExit(({ exitCode, signal }) => {
      for (const one of waiting) one.reject(new Error(`ended before "${one.text}": ${bytes.slice(-500)}`));
      resolve(signal ? 128 + signal : exitCode);
    });
  });
  return {
    ended,
    bytes: () => bytes,
    type: (keys) => pty.write(keys),
    kill: (signal) => pty.kill(signal),
    until: (text) =>
      new Promise((resolve, reject) => {
        if (bytes.includes(text)) resolve();
        else waiting.push({ text, resolve, reject });
      }),
  };
}
