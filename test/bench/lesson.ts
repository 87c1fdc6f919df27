// How long a class of 30 returns of 2,000 takes each takes to read, as the command is run; and what judging again costs.

import { mkdtempSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { availableParallelism, tmpdir } from 'node:os';
import { join } from 'node:path';
import { LESSON_FORMAT, type Lesson } from '../../src/lesson/lesson.ts';
import { returnLines } from '../../src/lesson/lesson-return.ts';
import type { Entry } from '../../src/record/entry.ts';
import { passageFingerprint } from '../../src/record/fingerprint.ts';
import { foldTake } from '../../src/take/fold.ts';
import { JUDGE_VERSION } from '../../src/take/judge-version.ts';
import { setup } from '../built.ts';
import { planFor, simulate } from '../session/simulate.ts';
import { againstBudget, coldRuns } from './cold-run.ts';

const PUPILS = 30;
const TAKES = 2000;
const BUDGET_SECONDS = 2;

export async function benchLesson(): Promise<void> {
  setup();
  const drill = 'landings,widening';
  const plan = await planFor('slipway', { bars: '1-2', drill, snag: '10', tempo: '60' });
  const { record } = await simulate(plan, ['model:nervous,seed=3,snag=10']);
  const takes = record.entries();
  const { passage } = plan.span;
  const fingerprint = passageFingerprint(passage);
  const lesson: Lesson = {
    id: 'bench',
    title: `bench, format ${LESSON_FORMAT}`,
    made: '2026-03-01',
    assignments: [
      { passage: fingerprint, bars: '1-2', drill, snag: '10', tempo: 60, tolerance: 'steady', passes: 3 },
    ],
    passages: { [fingerprint]: passage },
  };
  const asked = [plan.steps.map((one) => ({ drill: one.drill, name: one.step.run.name }))];
  const folder = mkdtempSync(join(tmpdir(), 'fettle-bench-'));
  try {
    const classJudgedBy = (judge: number) =>
      Array.from({ length: PUPILS }, (_, pupil) => {
        const file = join(folder, `pupil-${pupil}.return`);
        const own = Array.from(
          { length: TAKES },
          (_, i): Entry => ({ ...takes[i % takes.length]!, order: i + 1, judge }),
        );
        const head = { name: `Pupil ${pupil}`, made: '2026-03-05T18:00:00.000+01:00', lesson, asked };
        writeFileSync(file, returnLines(head, own).join('\n'));
        return file;
      });
    const files = classJudgedBy(JUDGE_VERSION);
    const size = files.reduce((sum, file) => sum + statSync(file).size, 0) / 1e6;
    const read = () => againstBudget(coldRuns(['lesson', 'read', ...files]), BUDGET_SECONDS);
    console.log(
      `lesson: ${PUPILS} returns of ${TAKES} takes (${Math.round(size)} MB) on ${availableParallelism()} processors  ${read()}`,
    );
    classJudgedBy(JUDGE_VERSION - 1);
    console.log(`lesson: the same, of an earlier judge  ${read()}`);
    const [week] = files as [string];
    const head = { name: 'Pupil', made: '2026-03-05T18:00:00.000+01:00', lesson, asked };
    writeFileSync(week, returnLines(head, takes).join('\n'));
    const [seconds] = coldRuns(['lesson', 'read', week], 1) as [number];
    console.log(`lesson: a return of ${takes.length} takes, every one judged again  ${seconds.toFixed(2)} s`);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
  const judged = takes.filter(({ playing, verdict }) => playing && verdict);
  const began = process.cpuUsage();
  const rounds = 20;
  for (let round = 0; round < rounds; round++) for (const { playing } of judged) foldTake(playing!);
  const { user, system } = process.cpuUsage(began);
  const each = (user + system) / 1000 / rounds / judged.length;
  console.log(`lesson: a take judged again  ${each.toFixed(2)} ms of a processor`);
}
