// `fettle work PASSAGE` without a word on how: with the drill, the span and the tempo that it was left with.

import { goOn, leftAt } from '../coaching/works.ts';
import type { Span } from '../music/span.ts';
import { UNNAMED_PLAYER } from '../record/entry.ts';
import { passageFingerprint } from '../record/fingerprint.ts';
import { goingOnWords, taskOptions } from '../wording/today.ts';
import { openReaderOrNew } from './record-reading.ts';
import type { WorkPorts } from './run-work.ts';
import type { SessionOptions } from './session-options.ts';
import { isSimulated } from './source-argument.ts';

/** Takes that are looked at: the last day is among them. */
const LATEST = 500;

type Options = SessionOptions & WorkPorts;

/** The options with what they leave open as it was the last time, and a sentence on that; as they are where nothing was. */
export async function asItWasLeft(
  { passage, first, last }: Span,
  options: Options,
): Promise<{ readonly own: Options; readonly told?: string }> {
  if (options.afresh || (isSimulated(options.from) && options.record === undefined)) return { own: options };
  const isChosen = (['bars', 'onsets', 'mark'] as const).some((name) => options[name] !== undefined);
  const reader = await openReaderOrNew(options);
  try {
    const worked = {
      fingerprint: passageFingerprint(passage),
      players: [options.player ?? UNNAMED_PLAYER],
      ...(isChosen ? { first, last } : {}),
    };
    const left = leftAt(await reader.headings({ ...worked, limit: LATEST }));
    if (!left) return { own: options };
    const { drill } = left;
    const settings = await reader.settings({ ...worked, drill, first: left.first, last: left.last });
    const task = goOn(left, settings ? { settings } : {});
    // After run-throughs there is nothing to go on with.
    if (task.why.kind === 'begin') return { own: options };
    const { tempo, passes, ...others } = options;
    const { ladder: _, ...steady } = task;
    const { onsets, ...asked } = taskOptions(tempo === undefined ? task : steady);
    return {
      own: {
        ...others,
        ...(passes === undefined || 'ladder' in asked ? {} : { passes }),
        ...(isChosen ? {} : { onsets }),
        ...asked,
        ...(tempo === undefined ? {} : { tempo }),
      },
      told: goingOnWords(tempo === undefined ? task : { ...steady, tempoBpm: Number(tempo) }),
    };
  } finally {
    await reader.close();
  }
}
