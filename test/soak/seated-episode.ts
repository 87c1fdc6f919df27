// One run of the real program in a pseudo-terminal, ended at a moment and in a way that follow from a seed.

import { mkdtempSync, rmSync } from 'node:fs';
import { constants, tmpdir } from 'node:os';
import { join } from 'node:path';
import { openDatabaseRecord } from '../../src/devices/database-record.ts';
import type { Random } from '../../src/simulation/random.ts';
import { isRestored, seat } from '../pseudo-terminal.ts';

const SIGNALS = ['SIGHUP', 'SIGINT', 'SIGQUIT', 'SIGABRT', 'SIGUSR2', 'SIGALRM', 'SIGTERM'] as const;
/** Ways out by the keyboard: the keys that leave, and the one that leaves everything. */
const CTRL_C = '\x03';
const KEYS = ['q', '\x1b', CTRL_C];
const DRILLS = ['landings', 'switchback', 'chain', 'through', 'widening --snag 8', 'tenuto --snag 8'];
const ENTERS = '\x1b[?1049h';

/** Throws an Error that says what was not true; returns how it ended, for people. */
export async function seatedEpisode(random: Random): Promise<string> {
  const folder = mkdtempSync(join(tmpdir(), 'fettle-soak-'));
  const record = join(folder, 'practice.db');
  const drill = random.pick(DRILLS);
  const words = random.chance(0.3)
    ? []
    : `work slipway --bars 1-2 --tempo 240 --passes 1 --click-to off --from model:exact,seed=${random.integer(1, 1e6)} --record ${record} --drill ${drill}`.split(
        ' ',
      );
  const seated = seat('src/main.ts', words, { env: { FETTLE_HOME: folder } });
  try {
    const afterMs = random.integer(0, 4000);
    await new Promise((done) => setTimeout(done, afterMs));
    const way = random.pick(['signal', 'signal', 'two signals', 'keys', 'hang up'] as const);
    const signals = [random.pick(SIGNALS), random.pick(SIGNALS)].slice(0, way === 'two signals' ? 2 : 1);
    const key = random.pick(KEYS);
    if (way === 'hang up') seated.hangUp();
    else if (way === 'keys') await pressUntilOver(seated, key);
    else for (const signal of signals) killIfThere(seated, signal);
    const status = await endedWithin(seated, way === 'hang up');
    const how = way === 'keys' ? JSON.stringify(key) : way === 'hang up' ? '' : signals.join(', ');
    const what = `${words.length > 0 ? drill : 'the start screen'}, ${way} ${how} after ${afterMs} ms`;
    // A Ctrl-C that comes when the screen is gone already, and the keyboard the terminal's again, is a SIGINT.
    const told = way === 'keys' ? (key === CTRL_C ? (['SIGINT'] as const) : []) : signals;
    const expected = [0, ...told.map((signal) => 128 + constants.signals[signal])];
    if (status !== undefined && !expected.includes(status)) throw new Error(`${what}: exit status ${status}`);
    const bytes = seated.bytes();
    if (way !== 'hang up' && bytes.includes(ENTERS) && !isRestored(bytes))
      throw new Error(`${what}: the terminal is not restored`);
    if (words.length > 0) await checkRecord(record, what);
    return `${what}: ${status ?? 'gone'}`;
  } finally {
    killIfThere(seated, 'SIGKILL');
    rmSync(folder, { recursive: true });
  }
}

type Seated = ReturnType<typeof seat>;

function killIfThere(seated: Seated, signal: string): void {
  try {
    seated.kill(signal);
  } catch {
    // It has ended by itself.
  }
}

/** Keys are not heard before the screen is there: they are pressed again, as a person would. */
async function pressUntilOver(seated: Seated, key: string): Promise<void> {
  let over = false;
  void seated.ended.then(() => {
    over = true;
  });
  for (let tries = 0; tries < 100 && !over; tries += 1) {
    if (seated.bytes().includes(ENTERS)) seated.type(key);
    await new Promise((done) => setTimeout(done, 100));
  }
}

/** The exit status; undefined of a program that lost its terminal, of which only the end is seen. */
async function endedWithin(seated: Seated, isGone: boolean): Promise<number | undefined> {
  if (!isGone) {
    const late = new Promise<'late'>((done) => setTimeout(() => done('late'), 10_000).unref());
    const status = await Promise.race([seated.ended, late]);
    if (status === 'late') throw new Error('the program does not end');
    return status;
  }
  for (let tries = 0; tries < 100; tries += 1) {
    try {
      process.kill(seated.pid, 0);
    } catch {
      return undefined;
    }
    await new Promise((done) => setTimeout(done, 100));
  }
  throw new Error('the program does not end when its window is closed');
}

/** No take is missing between the first and the last that are there. */
async function checkRecord(place: string, what: string): Promise<void> {
  const opened = await openDatabaseRecord(place);
  if (!opened.ok) throw new Error(`${what}: ${opened.problem.message}`);
  const orders = (await opened.value.headings()).map(({ order }) => order);
  opened.value.close();
  orders.forEach((order, i) => {
    if (order !== i + 1) throw new Error(`${what}: takes ${orders.join(', ')} are kept`);
  });
}
