// `fettle work`: the main job.

import { refuseIdleClockOptions } from './idle-options.ts';
import { loadSpan } from './passage-argument.ts';
import { runWork, type WorkPorts } from './run-work.ts';
import type { SessionOptions } from './session-options.ts';
import { planSession } from './session-setup.ts';

export async function work(argument: string, options: SessionOptions & WorkPorts): Promise<void> {
  refuseIdleClockOptions(options);
  const span = await loadSpan(argument, options);
  const { bars, tempo, drill } = options;
  const remembered = {
    passage: argument,
    ...(bars === undefined ? {} : { bars }),
    ...(tempo === undefined ? {} : { tempo }),
    ...(drill === undefined ? {} : { drill }),
  };
  await runWork(planSession(span, options), { ...options, remembered });
}
