// `fettle survey`: a few run-throughs of the whole span, the player not stopped, and then where the trouble is.

import { diagnose } from '../coaching/diagnosis.ts';
import { foreseenSnags, foreseenWeights } from '../coaching/foreseen.ts';
import { type PrescribedDrill, prescribe } from '../coaching/prescription.ts';
import { findSnags } from '../coaching/snags.ts';
import { runThrough } from '../drills/through.ts';
import { type Span, spanOnsets } from '../music/span.ts';
import { wrap } from '../screen/canvas.ts';
import type { PlannedStep } from '../session/plan.ts';
import { foreseenSentence } from '../wording/fingering.ts';
import { prescriptionSentence } from '../wording/prescription.ts';
import { surveyList, surveyPicture } from '../wording/survey-picture.ts';
import { wholeNumber } from './number-argument.ts';
import { loadSpan } from './passage-argument.ts';
import { print } from './print.ts';
import { runWork, type WorkPorts } from './run-work.ts';
import type { SessionOptions } from './session-options.ts';
import { planSession, SLOW } from './session-setup.ts';

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
    { drill: 'survey', drillRun: 0, step: runThrough(span, settings.tempo, 'run-through'), settings },
  ];
  const { keywork } = plan;
  const notice = foreseenSentence(foreseenSnags(span, keywork), span);
  const told = notice === undefined ? {} : { notice };
  const { takes } = await runWork(
    { ...plan, steps, runThroughs, ...told },
    { ...options, leavesAlone: true },
  );
  if (takes.length < 2) {
    print('Too little was played to say where the trouble is: two run-throughs at least are needed.');
    return;
  }
  const onsets = spanOnsets(span);
  const report = surveyReport(
    span,
    takes.map((take) => ({ ...take, onsets })),
    { chosen: choiceWords(options), foreseen: foreseenWeights(span, keywork) },
  );
  for (const line of report) print(line);
}

/** What the survey found, as lines. */
export function surveyReport(
  span: Span,
  takes: Parameters<typeof findSnags>[0],
  {
    columns = 80,
    chosen = [],
    foreseen = [],
  }: {
    readonly columns?: number;
    readonly chosen?: readonly string[];
    /** `foreseenWeights` of the span. */
    readonly foreseen?: readonly number[];
  } = {},
): string[] {
  const onsets = span.last - span.first + 1;
  const snags = findSnags(takes, onsets, span.first, foreseen);
  const { drills, why } = prescribe(diagnose(snags, takes, span), span);
  const next = drills.map(
    (drill) => `  fettle work ${span.passage.name} ${[...chosen, ...words(drill, span)].join(' ')}`,
  );
  return [
    ...surveyPicture(snags, span, columns),
    '',
    ...(snags.length > 0 ? [...surveyList(snags, span), ''] : []),
    ...wrap(prescriptionSentence(why, span.passage), columns - 2),
    ...next,
  ];
}

/** Which music of the file, as it is typed: the onset numbers count in it. */
function choiceWords(options: SurveyOptions): string[] {
  const named = (['part', 'voice', 'hand', 'instrument', 'groups', 'keywork'] as const).flatMap((name) => {
    const value = options[name];
    if (value === undefined) return [];
    return [`--${name} ${/^[\w.+-]+$/.test(value) ? value : JSON.stringify(value)}`];
  });
  return [...named, ...(options.melody ? ['--melody'] : [])];
}

/** A prescribed drill as it is typed. */
function words(drill: PrescribedDrill, { passage }: Span): string[] {
  const { snags, every, hold } = drill.settings;
  const goal = Math.round(passage.tempo.bpm);
  return [
    `--onsets ${drill.first}-${drill.last} --drill ${drill.name}`,
    ...(snags ? [`--snag ${snags.join(',')}`] : []),
    ...(every === undefined ? [] : [`--every ${every === 0.5 ? '1/2' : every}`]),
    ...(hold === undefined || hold === 2 ? [] : [`--hold ${hold}`]),
    ...(drill.click ? [`--pulse ${drill.click}`] : []),
    ...(drill.ladder ? [`--ladder ${Math.max(10, Math.round(goal * SLOW))}-${goal}`] : []),
  ];
}
