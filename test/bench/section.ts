// Sixteen players: from the last note to the section's verdict, the whole session's share of one core, and what it leaves
// in memory over an hour.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PerformanceObserver } from 'node:perf_hooks';
import { loadSpan } from '../../src/commands/passage-argument.ts';
import { planSession } from '../../src/commands/session-setup.ts';
import { need } from '../../src/commands/usage-problem.ts';
import { openDatabaseRecord } from '../../src/devices/database-record.ts';
import type { ClickPort } from '../../src/ports/click.ts';
import type { PlayerSource } from '../../src/ports/player-source.ts';
import { INPUT_GRACE_MICROS, runSession, type SessionPorts } from '../../src/run-session.ts';
import type { SessionPlan } from '../../src/session/plan.ts';
import { SimulatedClock } from '../../src/simulation/simulated-clock.ts';
import { modelOn, planForPlayers, simulate } from '../session/simulate.ts';
import { heapMb, percentiles } from './session.ts';
import { WorkedClock } from './worked-clock.ts';

const BUDGET_VERDICT_MS = 5;
const BUDGET_SHARE = 20;
/** Of each case: so many that the 99th percentile is not the worst of them. */
const TAKES = Number(process.env['TAKES'] ?? 120);

const PLAYERS = Array.from({ length: 16 }, (_, i) => `player ${i + 1}`);
const MODELS = PLAYERS.map((_, i) => `model:steady,seed=${i + 1}`);

export async function benchSection(): Promise<void> {
  await benchVerdicts();
  await benchMinutes(await sixteen(), 10);
  await benchHour(await sixteen('120'), 60);
}

async function benchVerdicts(): Promise<void> {
  // At a tempo that is within reach, and at twenty notes a second; where slips stop nobody, and where they stop all.
  for (const tempo of ['120', '300']) {
    const { section, ...whole } = await sixteen(tempo);
    await benchVerdict(tempo, { ...whole, section: section! });
    await benchVerdict(`${tempo}, stopped at slips`, { ...whole, section: { ...section!, runOn: false } });
  }
}

/** At most twenty notes a second each; so many steps that the time is filled. */
async function sixteen(tempo = '300'): Promise<SessionPlan> {
  const span = await loadSpan('ropewalk', {});
  const plan = planSession(span, { drill: 'through', passes: '20', tempo });
  const steps = Array.from({ length: 200 }, () => plan.steps[0]!);
  return { ...planForPlayers({ ...plan, steps }, PLAYERS), section: { name: 'bench', runOn: true } };
}

/**
 * The real loop, with the record on the disk, on a clock on which work takes its time. A verdict: from the moment at which
 * it is to be given until all of it has been said. A note: from when it was played until it was handled.
 */
async function benchVerdict(name: string, plan: SessionPlan): Promise<void> {
  const verdicts: Stretch[] = [];
  const notes: number[] = [];
  const stretches: number[] = [];
  // Of each take: what was left to do after its last note.
  const left: number[] = [];
  let leftMicros = 0;
  const clock = new WorkedClock((took) => {
    stretches.push(took);
    leftMicros += took;
  });
  const listened = (words: string): PlayerSource => {
    const model = modelOn(clock, words);
    return {
      name: model.name,
      start: (report) =>
        model.start((event) => {
          report(event);
          notes.push(clock.nowMicros() - event.at);
          if (event.type === 'note-on') leftMicros = 0;
        }),
      // What a real player does without the program.
      prompt: (prompt) => clock.leaveOut(() => model.prompt(prompt)),
      hush: (at) => clock.leaveOut(() => model.hush(at)),
      close: () => model.close(),
    };
  };
  let dueMicros: number | undefined;
  const collections = watchCollections();
  await rehearse(
    plan,
    {
      clock,
      sources: new Map(PLAYERS.map((player, i) => [player, listened(MODELS[i]!)])),
      onNews: ({ kind }, at) => {
        if (kind === 'section') dueMicros = at + INPUT_GRACE_MICROS;
      },
      tell: () => {
        if (dueMicros === undefined) return;
        const micros = clock.nowMicros() - dueMicros;
        dueMicros = undefined;
        verdicts.push({ micros, fromMs: clock.beganMs, endMs: performance.now() });
        left.push(leftMicros + micros);
      },
    },
    () => clock.runWhile(() => verdicts.length < TAKES),
  );
  const told = (what: string, times: readonly number[], more = '') =>
    console.log(`section: 16 players at ${name}: ${what}  ${percentiles(times)}${more}`);
  told('a note, until it was handled', notes);
  told('what was done at a stretch', stretches);
  told('all that is left to do after the last note', left);
  told(
    'verdict and sentences',
    verdicts.map(({ micros }) => micros),
    ` (budget p99 ${BUDGET_VERDICT_MS} ms), memory freed meanwhile in ${await collections.during(verdicts)}`,
  );
}

interface Stretch {
  readonly micros: number;
  /** From when to when it was worked at, as `performance.now` has it. */
  readonly fromMs: number;
  readonly endMs: number;
}

/** Sees when the engine frees memory. */
function watchCollections() {
  const seen: { readonly from: number; readonly to: number }[] = [];
  const observer = new PerformanceObserver((list) => {
    for (const { startTime, duration } of list.getEntries())
      seen.push({ from: startTime, to: startTime + duration });
  });
  observer.observe({ entryTypes: ['gc'] });
  return {
    /** In how many of the stretches it did. */
    async during(stretches: readonly Stretch[]): Promise<number> {
      await new Promise((resolve) => setTimeout(resolve, 100));
      observer.disconnect();
      return stretches.filter(({ fromMs, endMs }) => seen.some(({ from, to }) => to > fromMs && from < endMs))
        .length;
    },
  };
}

async function benchMinutes(plan: SessionPlan, minutes: number): Promise<void> {
  const before = heapMb();
  const cpu = process.cpuUsage();
  const { session } = await simulate(plan, MODELS, minutes);
  const used = process.cpuUsage(cpu);
  const share = (used.user + used.system) / (minutes * 60e6);
  console.log(
    `section: 16 players, ${minutes} min, ${session.kept} takes kept: ${(100 * share).toFixed(1)} % of one core (budget ${BUDGET_SHARE} %), heap ${before.toFixed(1)} MB before, ${heapMb().toFixed(1)} MB after with the record in memory`,
  );
}

const SILENT: ClickPort = {
  name: 'silence',
  schedule: () => {},
  scheduleSignal: () => {},
  scheduleNotes: () => {},
  silenceFrom: () => {},
  close: async () => {},
};

/** A whole rehearsal in one sitting: what is left in memory by it. */
async function benchHour(plan: SessionPlan, minutes: number): Promise<void> {
  const clock = new SimulatedClock();
  const heaps: number[] = [];
  for (let tenth = 1; tenth <= 10; tenth += 1)
    clock.wakeAt((tenth * minutes * 60e6) / 10, () => void heaps.push(heapMb()));
  let takes = 0;
  await rehearse(
    plan,
    {
      clock,
      sources: new Map(PLAYERS.map((name, i) => [name, modelOn(clock, MODELS[i]!)])),
      onNews: ({ kind }) => {
        if (kind === 'verdict') takes += 1;
      },
    },
    async () => void clock.runUntilIdle(minutes * 60e6),
  );
  const show = (mb: number) => mb.toFixed(1);
  console.log(
    `section: 16 players, ${minutes} min in one sitting, ${takes} takes kept on disk: heap after each tenth ${heaps.map(show).join(' ')} MB`,
  );
}

/** As long as `play` takes, with a record on the disk. */
async function rehearse(
  plan: SessionPlan,
  ports: Omit<SessionPorts, 'click' | 'record'>,
  play: () => Promise<void>,
): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'fettle-bench-'));
  const record = need(await openDatabaseRecord(join(folder, 'practice.db')));
  try {
    let quit = () => {};
    const running = runSession(
      plan,
      { ...ports, click: SILENT, record },
      {
        sitting: 'bench',
        leavesAlone: true,
        unicode: false,
        onStart: (control) => (quit = () => control('quit')),
      },
    );
    await play();
    quit();
    await running;
  } finally {
    record.close();
    rmSync(folder, { recursive: true });
  }
}
