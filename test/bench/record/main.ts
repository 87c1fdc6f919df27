// `npm run bench:record [-- TAKES [KILLS [PASSAGE]]]`: how the record bears years of practice: a million takes of 40
// players, or as many as asked for; and how it bears being killed, a thousand times or as often as asked for. With a
// passage (passage-2 to passage-24) only its takes are exported.

import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, statSync } from 'node:fs';
import { cpus, loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import { quantile } from 'simple-statistics';
import { dayNumber } from '../../../src/coaching/due.ts';
import { need } from '../../../src/commands/usage-problem.ts';
import { openDatabaseRecord } from '../../../src/devices/database-record.ts';
import { localDate, localDay } from '../../../src/local-date.ts';
import { built, setup } from '../../built.ts';
import { killAgainAndAgain } from '../../studio/kills.ts';
import { postgresFolder } from '../../studio/server.ts';
import { BareDisk } from './bare-disk.ts';
import { madeTakes, makeRecord } from './made-record.ts';
import { benchStudio } from './studio.ts';

const [takesAsked, killsAsked, exported] = process.argv.slice(2);
const takes = Number(takesAsked ?? 1_000_000);
const kills = Number(killsAsked ?? 1_000);
const APPENDS = 3_000;

const folder = mkdtempSync(join(tmpdir(), 'fettle-bench-record-'));
try {
  setup();
  if (takes > 0) await benchYears();
  if (kills > 0) await benchKills();
  if (postgresFolder() === undefined) tell('studio', 'left out: PostgreSQL is not installed');
  else if (kills > 0) for (const line of await benchStudio(folder, kills)) tell('studio', line);
} finally {
  rmSync(folder, { recursive: true, force: true });
}

async function benchYears(): Promise<void> {
  const file = join(folder, 'years.db');
  const began = performance.now();
  await makeRecord(file, takes, dayNumber(localDay(new Date())) - 1);
  tell('made', `${takes} takes, ${(statSync(file).size / 1e6).toFixed(0)} MB, in ${seconds(began)} s`);

  const openings: number[] = [];
  for (let i = 0; i < 20; i++) {
    const start = performance.now();
    const opened = await openDatabaseRecord(file);
    openings.push(performance.now() - start);
    if (!opened.ok) throw new Error(opened.problem.message);
    opened.value.close();
  }
  budget('opening, first', openings[0]!, 100);
  budget('opening, p99 of 20', quantile(openings, 0.99), 100);

  tell('machine', `load ${loadavg()[0]!.toFixed(1)} on ${cpus().length} processors`);
  const bare = run(['--version']);
  tell('node itself', `${bare.ms.toFixed(0)} ms, processor ${bare.cpuMs.toFixed(0)} ms (fettle --version)`);
  const player = ['--player', 'Player 7', '--record', file];
  const page = join(folder, 'page.html');
  for (const [what, words, most] of [
    ['today', ['today', ...player], 500],
    ['progress', ['progress', ...player], 500],
    ['progress slipway', ['progress', 'slipway', ...player], 500],
    ['report slipway', ['report', 'slipway', '--out', page, '--force', ...player], 2000],
    ['report of all', ['report', '--out', page, '--force', ...player], 2000],
    ['record take last', ['record', 'take', 'last', '--record', file], 500],
  ] as const) {
    const runs = Array.from({ length: 5 }, () => run(words));
    const times = runs.map(({ ms }) => ms);
    const cpuMs = Math.min(...runs.map((one) => one.cpuMs));
    budget(
      `${what}: whole program, median of 5 (processor ${cpuMs.toFixed(0)} ms)`,
      quantile(times, 0.5),
      most,
    );
  }

  const out = join(folder, 'all.jsonl');
  const only = exported === undefined ? [] : ['--passage', exported];
  const took = run(['record', 'export', out, '--record', file, ...only]);
  tell('export', `${(statSync(out).size / 1e6).toFixed(0)} MB in ${(took.ms / 1000).toFixed(0)} s`);
  budget('export, most memory', took.megabytes, 100, 'MB');
  rmSync(out);

  for (const isShared of [false, true]) {
    const record = need(await openDatabaseRecord(file));
    if (isShared)
      record.outbox.begin({ address: 'postgres://nobody@127.0.0.1:1/x', player: 'p', since: 'now' });
    const { entries } = await madeTakes();
    const durations: number[] = [];
    const bare = new BareDisk(join(folder, 'bare'));
    for (let i = 0; i < APPENDS; i++) {
      const model = entries[i % entries.length]!;
      const entry = {
        ...model,
        sitting: `bench ${isShared}`,
        order: i + 1,
        date: localDate(new Date()),
        player: 'Player 7',
      };
      const start = performance.now();
      record.append(entry);
      durations.push(performance.now() - start);
      bare.write();
      // A take is played in between; the disk is not waited for.
      if (i % 10 === 0) await new Promise((resolve) => setTimeout(resolve, 5));
    }
    record.close();
    const what = isShared ? 'a durable take, shared' : 'a durable take';
    tell('machine', `load ${loadavg()[0]!.toFixed(1)} on ${cpus().length} processors`);
    tell('disk alone', spread(bare.durations));
    tell(what, spread(durations));
    budget(`${what}, p99`, quantile(durations, 0.99), 10);
  }
}

function spread(durations: readonly number[]): string {
  const at = (share: number) => quantile([...durations], share).toFixed(2);
  return `median ${at(0.5)}, p90 ${at(0.9)}, p99 ${at(0.99)}, most ${Math.max(...durations).toFixed(1)} ms`;
}

async function benchKills(): Promise<void> {
  const file = join(folder, 'killed.db');
  const opened = need(await openDatabaseRecord(file));
  opened.outbox.begin({ address: 'postgres://nobody@127.0.0.1:1/x', player: 'p', since: 'now' });
  opened.close();
  const began = performance.now();
  const { acknowledged, kept, lost, waiting, damage } = await killAgainAndAgain(file, kills, 3, [
    'one',
    'another',
  ]);
  tell(
    'kills',
    `${kills} in ${seconds(began)} s, of two programs that write to one record at once: ${acknowledged} takes acknowledged, ${kept} kept, ${lost.length} lost, ${waiting} in the outbox, ${damage.length === 0 ? 'the file is whole' : damage[0]}`,
  );
  if (lost.length > 0 || waiting !== kept || damage.length > 0) process.exitCode = 1;
}

/** What a whole program took: by the clock, on the processor, and of memory at most. */
interface Took {
  readonly ms: number;
  readonly cpuMs: number;
  readonly megabytes: number;
}

function run(words: readonly string[]): Took {
  const told = join(folder, 'took.json');
  const note = `process.on('exit', () => { const { userCPUTime, systemCPUTime, maxRSS } = process.resourceUsage();
    const fs = process.getBuiltinModule('fs');
    // Linux tells what this program itself took; the other figure may be its parent's.
    const peak = /VmHWM:\\s+(\\d+)/.exec(fs.existsSync('/proc/self/status') ? fs.readFileSync('/proc/self/status', 'utf8') : '')?.[1];
    fs.writeFileSync(${JSON.stringify(told)}, JSON.stringify({ cpuMs: (userCPUTime + systemCPUTime) / 1000, megabytes: Number(peak ?? maxRSS) / 1024 })); });`;
  const start = performance.now();
  execFileSync(
    process.execPath,
    ['--import', `data:text/javascript,${encodeURIComponent(note)}`, built('src/main.ts'), ...words],
    { stdio: 'ignore', env: ownHome() },
  );
  const ms = performance.now() - start;
  return { ms, ...(JSON.parse(readFileSync(told, 'utf8')) as { cpuMs: number; megabytes: number }) };
}

function ownHome(): NodeJS.ProcessEnv {
  return { ...process.env, FETTLE_HOME: join(folder, 'home') };
}

function budget(what: string, value: number, most: number, unit = 'ms'): void {
  tell(value < most ? 'ok' : 'MISSED', `${what}: ${value.toFixed(1)} ${unit} (under ${most})`);
}

function tell(head: string, line: string): void {
  console.log(`${head.padEnd(12)} ${line}`);
}

function seconds(began: number): string {
  return ((performance.now() - began) / 1000).toFixed(0);
}
