// The program in a real terminal (a pseudo-terminal), as a player starts it: the screen is drawn, leaving restores it,
// and every finished take is kept. All other ways out are in real-terminal.slow.test.ts.

import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { need } from '../../src/commands/usage-problem.ts';
import { openDatabaseRecord } from '../../src/devices/database-record.ts';
import { isRestored } from '../pseudo-terminal.ts';
import { seen } from '../screen/emulator.ts';
import { QUICK, seatedHome } from './seated-work.ts';

const SIZE = { columns: 80, rows: 24 };

const home = seatedHome();

// Side by side: they wait for the music, which is played in real time, and hardly for the processor.
describe.concurrent('in a real terminal', () => {
  it('draws the work, ends with the summary and leaves by a key', async () => {
    const run = home.start(QUICK);
    await run.until('LEAD-IN');
    const lines = await seen(run.bytes(), SIZE);
    expect(lines[0]).toMatch(/Slipway at First Light +step 1 of 4/);
    await run.until('Done.');
    expect((await seen(run.bytes(), SIZE)).join('\n')).toContain('4 takes, 4 clean.');
    run.type('q');
    expect(await run.ended).toBe(0);
    expect(isRestored(run.bytes())).toBe(true);
  });

  it('restores the screen on SIGTERM, keeps finished takes and says so by its exit status', async () => {
    const record = join(home.folder, 'ended.db');
    const run = home.start([...QUICK, '--record', record]);
    await run.until('step 2 of 4');
    run.kill('SIGTERM');
    expect(await run.ended).toBe(143);
    expect(isRestored(run.bytes())).toBe(true);
    const opened = need(await openDatabaseRecord(record));
    const takes = await opened.headings();
    opened.close();
    expect(takes[0]).toMatchObject({ order: 1, clean: true, end: 'stopped' });
  });

  it('ends when its window is closed', async () => {
    const run = home.start(QUICK);
    await run.until('LEAD-IN');
    run.hangUp();
    await gone(run.pid);
  });
});

// Helpers

/** Resolves once there is no such process: one that never ends is noticed by the time a test may take. */
async function gone(pid: number): Promise<void> {
  while (isThere(pid)) await new Promise((done) => setTimeout(done, 100));
}

function isThere(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch {
    return false;
  }
}
