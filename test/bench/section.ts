// Sixteen players: from the last note to the section's verdict, the whole session's share of one core, and what it leaves
// in memory over an hour.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { loadSpan } from '../../src/commands/passage-argument.ts';
import { planSession } from '../../src/commands/session-setup.ts';
import { need } from '../../src/commands/usage-problem.ts';
import { openDatabaseRecord } from '../../src/devices/database-record.ts';
import type { ClickPort } from '../../src/ports/click.ts';
import { runSession } from '../../src/run-session.ts';
import { advance, nextWakeUp } from '../../src/session/advance.ts';
import type { SessionEvent } from '../../src/session/event.ts';
import type { SessionPlan } from '../../src/session/plan.ts';
import { newSession } from '../../src/session/session.ts';
import { workAhead } from '../../src/session/work-ahead.ts';
import { SimulatedClock } from '../../src/simulation/simulated-clock.ts';
import { sectionSentence } from '../../src/wording/section.ts';
import { modelOn, planForPlayers, simulate } from '../session/simulate.ts';
import { heapMb, micros, percentiles } from './session.ts';

const BUDGET_VERDICT_MS = 5;
const BUDGET_SHARE = 20;

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

/** What the program needs for the verdict, its sentence included, once the last note has been heard and its time has come. */
async function benchVerdict(name: string, plan: SessionPlan): Promise<void> {
  const { played } = await simulate(plan, MODELS, 1.5);
  let session = newSession(plan);
  const verdicts: number[] = [];
  const notes: number[] = [];
  const pieces: number[] = [];
  // Of each take: what was left to do after its last note.
  const left: number[] = [];
  let leftMicros = 0;
  const step = (event: SessionEvent) => {
    const began = process.hrtime.bigint();
    const { session: next, effects } = advance(session, event);
    const verdict = effects.flatMap((effect) =>
      effect.type === 'news' && effect.news.kind === 'section' ? [effect.news.report] : [],
    )[0];
    if (verdict) sectionSentence(verdict, plan.span.passage);
    const took = micros(began, process.hrtime.bigint());
    (verdict ? verdicts : notes).push(took);
    if (verdict) left.push(leftMicros + took);
    if (event.type === 'played' && event.event.type === 'note-on') leftMicros = 0;
    session = next;
  };
  // As the loop does where nothing has come for a while: for as long as there is, no longer.
  const ahead = (until: number) => {
    for (let now = session.now; now < until; ) {
      const began = process.hrtime.bigint();
      if (!workAhead(session)) return;
      const took = micros(began, process.hrtime.bigint());
      pieces.push(took);
      leftMicros += took;
      now += took;
    }
  };
  step({ type: 'begin', at: 0 });
  for (const event of played) {
    for (let next = nextWakeUp(session); next !== undefined && next < event.at; next = nextWakeUp(session)) {
      ahead(next);
      step({ type: 'wake', at: next });
    }
    ahead(event.at);
    step(event);
  }
  const told = (what: string, times: readonly number[], budget = '') =>
    console.log(`section: 16 players at ${name}: ${what}  ${percentiles(times)}${budget}`);
  told('a note or wake-up handled', notes);
  told('a piece worked out ahead', pieces);
  told('all that is left to do after the last note', left);
  told('verdict and sentence', verdicts, ` (budget p99 ${BUDGET_VERDICT_MS} ms)`);
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

/** A whole rehearsal in one sitting, its takes in a record on the disk: what is left in memory by it. */
async function benchHour(plan: SessionPlan, minutes: number): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'fettle-bench-'));
  const record = need(await openDatabaseRecord(join(folder, 'practice.db')));
  try {
    const clock = new SimulatedClock();
    const heaps: number[] = [];
    for (let tenth = 1; tenth <= 10; tenth += 1)
      clock.wakeAt((tenth * minutes * 60e6) / 10, () => void heaps.push(heapMb()));
    let quit = () => {};
    let takes = 0;
    const running = runSession(
      plan,
      {
        clock,
        sources: new Map(PLAYERS.map((name, i) => [name, modelOn(clock, MODELS[i]!)])),
        click: SILENT,
        record,
        onNews: ({ kind }) => {
          if (kind === 'verdict') takes += 1;
        },
      },
      {
        sitting: 'bench',
        leavesAlone: true,
        unicode: false,
        onStart: (control) => (quit = () => control('quit')),
      },
    );
    clock.runUntilIdle(minutes * 60e6);
    quit();
    await running;
    const show = (mb: number) => mb.toFixed(1);
    console.log(
      `section: 16 players, ${minutes} min in one sitting, ${takes} takes kept on disk: heap after each tenth ${heaps.map(show).join(' ')} MB`,
    );
  } finally {
    record.close();
    rmSync(folder, { recursive: true });
  }
}
