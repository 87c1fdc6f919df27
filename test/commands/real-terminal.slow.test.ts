// Every way out of the program in a real terminal (a pseudo-terminal), and what is restored, kept and said on the way.

import { spawn } from 'node:child_process';
import { describe, expect, it } from 'vitest';
import { built } from '../built.ts';
import { isRestored } from '../pseudo-terminal.ts';
import { seen } from '../screen/emulator.ts';
import { QUICK, seatedHome } from './seated-work.ts';

const SIZE = { columns: 80, rows: 24 };

const home = seatedHome();

describe('in a real terminal', () => {
  it('says that there is nothing to hear a step with', async () => {
    const run = home.start(QUICK);
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
    const run = home.start([]);
    await run.until('Who plays');
    for (const signal of signals) run.kill(signal);
    // Of two at once either may come first.
    expect(status).toContain(await run.ended);
    expect(isRestored(run.bytes())).toBe(true);
  });

  it('restores the work on two signals at once and says what came of it', async () => {
    const run = home.start(QUICK);
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
      env: { ...process.env, FETTLE_HOME: home.folder },
    });
    let heard = '';
    for (const stream of [shell.stdout, shell.stderr])
      stream.on('data', (data) => {
        heard += data;
      });
    expect(await new Promise((done) => shell.on('close', done))).toBe(0);
    expect(heard).toMatch(/^ *0\.0 {2}step 1 of 4.*\n$/);
  });

  it('begins what was chosen on the start screen, and there the next time; a q among the note keys asks once more', async () => {
    const run = home.start([]);
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
    const again = home.start([]);
    await again.until('Who plays');
    const rows = await seen(again.bytes(), SIZE);
    expect(rows.find((row) => row.includes('Bars'))).toMatch(/Bars +1 *$/);
    again.type('q');
    expect(await again.ended).toBe(0);
  });

  it('leaves on Ctrl-C with the screen restored', async () => {
    const run = home.start(QUICK);
    await run.until('LEAD-IN');
    run.type('\x03');
    expect(await run.ended).toBe(0);
    expect(isRestored(run.bytes())).toBe(true);
  });
});
