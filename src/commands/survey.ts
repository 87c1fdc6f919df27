// `fettle survey`: a few run-throughs of the whole span, the player not stopped, and then where the trouble is.

import { diagnose } from '../coaching/diagnosis.ts';
import { prescribe } from '../coaching/prescription.ts';
import { findSnags } from '../coaching/snags.ts';
import { surveyList, surveyPicture } from '../coaching/survey-picture.ts';
import { runThrough } from '../drills/through.ts';
import type { Span } from '../music/span.ts';
import { wrap } from '../screen/canvas.ts';
import type { PlannedStep } from '../session/plan.ts';
import { loadSpan, wholeNumber } from './passage-argument.ts';
import { runWork, type WorkPorts } from './run-work.ts';
import { planSession, type SessionOptions } from './session-setup.ts';

export interface SurveyOptions extends SessionOptions, WorkPorts {
  readonly takes?: string;
}

export async function survey(argument: string, options: SurveyOptions): Promise<void> {
  const span = await loadSpan(argument, options);
  const runThroughs = wholeNumber(options.takes ?? '3', 'the number of run-throughs', { least: 2, most: 5 });
  const plan = planSession(span, { ...options, drill: 'through' });
  // The drill `through` plays a bar before and after; what is surveyed is the span itself.
  const [{ settings }] = plan.steps as [PlannedStep];
  const steps: PlannedStep[] = [
    { drill: 'survey', step: runThrough(span, settings.tempo, 'run-through'), settings },
  ];
  const { verdicts } = await runWork({ ...plan, steps, runThroughs }, { ...options, leavesAlone: true });
  if (verdicts.length < 2) {
    console.log('Too little was played to say where the trouble is: two run-throughs at least are needed.');
    return;
  }
  for (const line of surveyReport(
    span,
    verdicts.map((verdict) => ({ verdict })),
  ))
    console.log(line);
}

/** What the survey found, as lines. */
export function surveyReport(span: Span, takes: Parameters<typeof findSnags>[0], columns = 80): string[] {
  const onsets = span.last - span.first + 1;
  const snags = findSnags(takes, onsets, span.first);
  const { drills, why } = prescribe(diagnose(snags, takes, span), span);
  const next = drills.map((drill) => {
    const snag = drill.settings.snags ? ` --snag ${drill.settings.snags.join(',')}` : '';
    const every = drill.settings.every ? ` --every ${drill.settings.every}` : '';
    const click = drill.click ? ` --pulse ${drill.click}` : '';
    return `  fettle work ${span.passage.name} --onsets ${drill.first}-${drill.last} --drill ${drill.name}${snag}${every}${click}`;
  });
  return [
    ...surveyPicture(snags, span, columns),
    '',
    ...(snags.length > 0 ? surveyList(snags, span) : ['Nothing stands out.']),
    '',
    ...wrap(why, columns - 2),
    ...next,
  ];
}
