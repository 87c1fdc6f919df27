// Processes that keep takes and send them are killed at random moments, one after the other, on one record: while they
// open it, write, send and wait. Every take that was acknowledged must be in the record, and in the outbox or the studio.

import { spawn } from 'node:child_process';
import { need } from '../../src/commands/usage-problem.ts';
import { openDatabaseRecord } from '../../src/devices/database-record.ts';
import { Random } from '../../src/simulation/random.ts';
import { built } from '../built.ts';

/** More takes than one process keeps before it is killed. */
const ORDERS_A_RUN = 100_000;
/** From its first take on; and one in so many is killed earlier, at any moment of its start. */
const LONGEST_MS = 120;
const ONE_IN_KILLED_EARLY = 5;
const START_MS = 400;

export interface Killed {
  /** Takes of which somebody was told that they are kept. */
  readonly acknowledged: number;
  readonly kept: number;
  /** Those that were acknowledged and are not there, by sitting and order. Must be empty. */
  readonly lost: readonly string[];
  /** Takes that wait in the outbox. */
  readonly waiting: number;
  /** What is wrong with the file. Must be empty. */
  readonly damage: readonly string[];
}

/**
 * `sittings`: of the takes; the same takes at two stations are the same in a studio. One process of each writes at a
 * time, so with several they write to the one record at once, and one is killed while the others go on.
 */
export async function killAgainAndAgain(
  place: string,
  kills: number,
  seed: number,
  sittings: readonly string[] = ['killed'],
): Promise<Killed> {
  const chains = sittings.map((sitting, i) => {
    const share = Math.ceil((kills - i) / sittings.length);
    return killInTurn(place, share, new Random(seed + i), sitting);
  });
  const acknowledged = (await Promise.all(chains)).flat();
  const record = need(await openDatabaseRecord(place));
  const kept = new Set((await record.headings()).map(({ sitting, order }) => `${sitting} ${order}`));
  const { takes: waiting } = record.outbox.waiting();
  const damage = record.damage('integrity_check');
  record.close();
  return {
    acknowledged: acknowledged.length,
    kept: kept.size,
    lost: acknowledged.filter((take) => !kept.has(take)),
    waiting,
    damage,
  };
}

/** One process after the other; returns what they said was kept. */
async function killInTurn(place: string, kills: number, random: Random, sitting: string): Promise<string[]> {
  const acknowledged: string[] = [];
  for (let run = 0; run < kills; run++) {
    const child = spawn(
      process.execPath,
      [built('test/devices/append-forever.ts'), place, String(run * ORDERS_A_RUN + 1), sitting],
      { stdio: ['ignore', 'pipe', 'inherit'] },
    );
    let said = '';
    const kill = () => child.kill('SIGKILL');
    const early = random.unit() * ONE_IN_KILLED_EARLY < 1;
    const after = random.between(0, early ? START_MS : LONGEST_MS);
    if (early) setTimeout(kill, after);
    child.stdout.setEncoding('utf8').on('data', (text: string) => {
      if (said === '' && !early) setTimeout(kill, after);
      said += text;
    });
    const signal = await new Promise((done) => child.on('close', (_, name) => done(name)));
    if (signal !== 'SIGKILL') throw new Error(`a process ended by itself, on ${signal}`);
    // A line that is cut off was not told yet.
    for (const order of said.split('\n').slice(0, -1)) acknowledged.push(`${sitting} ${order}`);
  }
  return acknowledged;
}
