// `fettle steps`: a drill's steps, printed without playing.

import { stepsJson } from '../drills/steps-json.ts';
import { spellingName } from '../music/pitch.ts';
import { loadSpan } from './passage-argument.ts';
import { type DrillOptions, planSteps } from './session-setup.ts';

export async function steps(
  argument: string,
  options: DrillOptions & { readonly json?: boolean },
): Promise<void> {
  const span = await loadSpan(argument, options);
  const planned = planSteps(span, options);
  if (options.json) {
    const drills = [...new Set(planned.map((one) => one.drill))].join(',');
    console.log(
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
  console.log(`${span.passage.title}: ${planned.length} steps`);
  planned.forEach(({ drill, step }, i) => {
    const count = step.leadInBeats > 0 ? `lead-in ${step.leadInBeats}` : 'enter when you like';
    const hold = step.landing ? `, hold ${step.holdBeats}` : '';
    console.log(
      `${String(i + 1).padStart(3)}  ${drill}: ${step.name}, ${step.tempo.bpm} a minute, ${count}${hold}`,
    );
    console.log(
      `     ${step.onsets.map((onset) => onset.notes.map((note) => spellingName(note.spelling)).join('+')).join(' ')}`,
    );
  });
}
