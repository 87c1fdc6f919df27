// `fettle demo`: a simulated player works through the first bars of a bundled passage, in real time, and it ends by
// itself in under two minutes. Nothing needs to be plugged in, and nothing goes into the practice record.

import { loadSpan } from './passage-argument.ts';
import { print } from './print.ts';
import { runWork } from './run-work.ts';
import { planSession } from './session-setup.ts';

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

export async function demo(options: DemoOptions): Promise<void> {
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
