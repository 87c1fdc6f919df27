// `fettle steps`: a drill's steps, printed without playing.

import { clickedSlowly } from '../drills/slow-click.ts';
import { stepsJson } from '../drills/steps-json.ts';
import { clickWords } from '../wording/click.ts';
import { counted } from '../wording/counted.ts';
import { stepNotes } from '../wording/step-notes.ts';
import { loadSpan } from './passage-argument.ts';
import { print } from './print.ts';
import type { DrillOptions } from './session-options.ts';
import { planSteps } from './session-setup.ts';

export async function steps(
  argument: string,
  options: DrillOptions & { readonly json?: boolean },
): Promise<void> {
  const span = await loadSpan(argument, options);
  const planned = planSteps(span, options);
  if (options.json) {
    const drills = [...new Set(planned.map((one) => one.drill))].join(',');
    print(
      JSON.stringify(
        stepsJson(
          span.passage.name,
          drills,
          planned.map((one) => one.step),
        ),
        null,
        2,
      ),
    );
    return;
  }
  print(`${span.passage.title}: ${counted(planned.length, 'step')}`);
  planned.forEach(({ drill, step, click }, i) => {
    const run = clickedSlowly(step.run, click);
    const told = [
      `${drill}: ${run.name}`,
      `${run.tempo.bpm} a minute`,
      ...[clickWords(run, click)].filter((words) => words !== undefined),
      run.leadInBeats > 0 ? `lead-in ${run.leadInBeats}` : 'enter when you like',
    ];
    print(`${String(i + 1).padStart(3)}  ${told.join(', ')}`);
    print(`     ${stepNotes(step)}`);
  });
}
