// `fettle steps`: a drill's steps, printed without playing.

import { onsetsOfAll, type StepOnset } from '../drills/step.ts';
import { stepsJson } from '../drills/steps-json.ts';
import { requiredNotes } from '../music/onset.ts';
import { spellingName } from '../music/pitch.ts';
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
  print(`${span.passage.title}: ${planned.length} steps`);
  planned.forEach(({ drill, step }, i) => {
    const { run } = step;
    const count = run.leadInBeats > 0 ? `lead-in ${run.leadInBeats}` : 'enter when you like';
    const hold = run.landing ? `, hold ${run.holdBeats}` : '';
    print(`${String(i + 1).padStart(3)}  ${drill}: ${run.name}, ${run.tempo.bpm} a minute, ${count}${hold}`);
    print(`     ${onsetsOfAll(step).map(onsetText).join(' ')}`);
  });
}

/** Grace notes before the onset, in small letters. */
function onsetText(onset: StepOnset): string {
  const graces = onset.notes.filter((note) => note.ornament === 'grace');
  const small = graces.map((note) => `${spellingName(note.spelling).toLowerCase()}-`).join('');
  return `${small}${requiredNotes(onset)
    .map((note) => spellingName(note.spelling))
    .join('+')}`;
}
