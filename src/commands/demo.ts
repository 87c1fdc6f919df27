// `fettle demo`: a simulated player works through the first bars of a bundled passage, in real time, and it ends by
// itself in under two minutes; `fettle demo section`: a trio does. Nothing needs to be plugged in, and nothing goes into
// the practice record.

import type { SectionFile } from '../section/section-file.ts';
import { loadSpan } from './passage-argument.ts';
import { print } from './print.ts';
import { runWork } from './run-work.ts';
import { planSection } from './section.ts';
import { planSession } from './session-setup.ts';
import { usage } from './usage-problem.ts';

export interface DemoOptions {
  readonly plain?: boolean;
  readonly fast?: boolean;
  readonly clickTo?: string;
}

/** What is shown: five beats that cross the register break, every beat a landing, one clean take each. */
const SCENE = {
  passage: 'slipway',
  bars: '2',
  tempo: '84',
  passes: '1',
  drill: 'landings,widening',
  snag: '10',
} as const;
const PLAYER = 'model:pupil,seed=1,snag=10:rushed';

/** A trio that listens to each other: one of them hurries into the same note, one stands behind the others. */
const TRIO: SectionFile = {
  section: 'Tidewrack reeds',
  players: [
    { name: 'Oboe', from: 'model:steady,seed=3,offset=-8,sd=7,gain=0.2', part: 1 },
    { name: 'Clarinet', from: 'model:pupil,seed=4,snag=3:rushed,gain=0.2', part: 2 },
    { name: 'Bassoon', from: 'model:steady,seed=8,offset=24,sd=8', part: 3 },
  ],
};

const SECTION_SCENE = {
  passage: 'slackwater',
  bars: '1-2',
  tempo: '84',
  passes: '1',
  drill: 'landings,through',
  every: '2',
} as const;

export async function demo(what: string | undefined, options: DemoOptions): Promise<void> {
  if (what === 'section') return demoSection(options);
  if (what !== undefined)
    throw usage('demo.unknown', `Cannot show "${what}": there is fettle demo, and fettle demo section`);
  const span = await loadSpan(SCENE.passage, { bars: SCENE.bars });
  const plan = planSession(span, SCENE);
  if (!process.stdout.isTTY || options.plain) {
    print(
      `A simulated player works on "${span.passage.title}", bar ${SCENE.bars}: nothing needs to be plugged in.`,
    );
  }
  await runWork(plan, { ...options, from: PLAYER, leavesAlone: true });
  if (!options.fast)
    print(`Now you: fettle work ${SCENE.passage} --bars ${SCENE.bars}, with an instrument plugged in.`);
}

async function demoSection(options: DemoOptions): Promise<void> {
  const span = await loadSpan(SECTION_SCENE.passage, { bars: SECTION_SCENE.bars });
  if (!process.stdout.isTTY || options.plain) {
    print(
      `Three simulated players work on "${span.passage.title}", bars ${SECTION_SCENE.bars}: nothing needs to be plugged in.`,
    );
  }
  const plan = planSection(TRIO, span, SECTION_SCENE);
  await runWork(plan, { ...options, seats: TRIO.players, leavesAlone: true });
  if (!options.fast)
    print('Now you: fettle section new FILE asks who is there, fettle section FILE PASSAGE begins.');
}
