// `fettle survey`: a few run-throughs of the whole span, the player not stopped, and then where the trouble is.

import { diagnose } from '../coaching/diagnosis.ts';
import { foreseenSnags, foreseenWeights } from '../coaching/foreseen.ts';
import type { SurveyTake } from '../coaching/interval-figures.ts';
import { type PrescribedDrill, type Prescription, prescribe } from '../coaching/prescription.ts';
import { findSnags } from '../coaching/snags.ts';
import { settingsTexts } from '../drills/settings-text.ts';
import { runThrough } from '../drills/through.ts';
import { type Span, spanOnsets } from '../music/span.ts';
import { wrap } from '../screen/canvas.ts';
import type { PlannedStep } from '../session/plan.ts';
import { foreseenSentence } from '../wording/fingering.ts';
import { prescriptionSentence } from '../wording/prescription.ts';
import { surveyList, surveyPicture } from '../wording/survey-picture.ts';
import { typedWord } from '../wording/typed-word.ts';
import { readKeywork } from './keywork-argument.ts';
import { wholeNumber } from './number-argument.ts';
import { loadOwnSpan } from './passage-argument.ts';
import { print } from './print.ts';
import { runWork, type WorkPorts } from './run-work.ts';
import type { SessionOptions } from './session-options.ts';
import { planSession, SLOW } from './session-setup.ts';

/** What run-throughs are called in the record. */
export const SURVEY = 'survey';

/** Fewer say nothing of where the trouble is. */
export const LEAST_RUN_THROUGHS = 2;
export const TOO_LITTLE =
  'Too little was played to say where the trouble is: two run-throughs at least are needed.';

export interface SurveyOptions extends SessionOptions, WorkPorts {
  readonly takes?: string;
}

export async function survey(argument: string, options: SurveyOptions): Promise<void> {
  const span = await loadOwnSpan(argument, options);
  const runThroughs = wholeNumber(options.takes ?? '3', 'the number of run-throughs', {
    least: LEAST_RUN_THROUGHS,
    most: 5,
  });
  const { takes } = await runThroughsOf(span, options, runThroughs);
  if (takes.length < LEAST_RUN_THROUGHS) {
    print(TOO_LITTLE);
    return;
  }
  const report = surveyReport(span, takes, {
    chosen: choiceWords(options),
    foreseen: foreseenOf(span, options),
  });
  for (const line of report) print(line);
}

/** Run-throughs that were played. */
export interface Surveyed {
  readonly takes: readonly SurveyTake[];
  /** The tempo that was asked. */
  readonly bpm: number;
  readonly workedMicros: number;
}

/** Plays so many run-throughs of the span itself, unstopped, and gives those that were played. */
export async function runThroughsOf(
  span: Span,
  options: SurveyOptions,
  runThroughs: number,
): Promise<Surveyed> {
  const plan = planSession(span, { ...options, drill: 'through' });
  // The drill `through` plays a bar before and after; what is surveyed is the span itself.
  const [{ settings }] = plan.steps as [PlannedStep];
  const steps: PlannedStep[] = [
    { drill: SURVEY, drillRun: 0, step: runThrough(span, settings.tempo, 'run-through'), settings },
  ];
  const notice = foreseenSentence(foreseenSnags(span, plan.keywork), span);
  const told = notice === undefined ? {} : { notice };
  const { takes, session } = await runWork(
    { ...plan, steps, runThroughs, ...told },
    { ...options, leavesAlone: true },
  );
  const onsets = spanOnsets(span);
  return {
    takes: takes.map((take) => ({ ...take, onsets })),
    bpm: settings.tempo.bpm,
    workedMicros: session.workedMicros,
  };
}

function foreseenOf(span: Span, { keywork }: SurveyOptions): readonly number[] {
  return foreseenWeights(span, readKeywork(keywork, span.passage));
}

/** The drills that answer the trouble that the takes show. */
export function prescribedFor(
  span: Span,
  takes: readonly SurveyTake[],
  options: SurveyOptions,
): Prescription {
  const snags = findSnags(takes, span.last - span.first + 1, span.first, foreseenOf(span, options));
  return prescribe(diagnose(snags, takes, span), span);
}

/** What the survey found, as lines. */
export function surveyReport(
  span: Span,
  takes: readonly SurveyTake[],
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
    (drill) =>
      `  fettle work ${typedWord(span.passage.name)} ${[...chosen, ...words(drill, span)].join(' ')}`,
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
export function choiceWords(options: SessionOptions): string[] {
  const named = (['part', 'voice', 'hand', 'instrument', 'groups', 'keywork'] as const).flatMap((name) => {
    const value = options[name];
    if (value === undefined) return [];
    return [`--${name} ${typedWord(value)}`];
  });
  return [...named, ...(options.melody ? ['--melody'] : [])];
}

/** A prescribed drill as it is typed. */
function words(drill: PrescribedDrill, span: Span): string[] {
  const { onsets, drill: name, snag, every, hold, pulse, ladder } = prescribedOptions(drill, span);
  return [
    `--onsets ${onsets} --drill ${name}`,
    ...(snag === undefined ? [] : [`--snag ${snag}`]),
    ...(every === undefined ? [] : [`--every ${every}`]),
    ...(hold === undefined ? [] : [`--hold ${hold}`]),
    ...(pulse === undefined ? [] : [`--pulse ${pulse}`]),
    ...(ladder === undefined ? [] : [`--ladder ${ladder}`]),
  ];
}

/** The same as options. What is as usual is left out. */
export function prescribedOptions(drill: PrescribedDrill, { passage }: Span): SessionOptions {
  const goal = Math.round(passage.tempo.bpm);
  return {
    onsets: `${drill.first}-${drill.last}`,
    drill: drill.name,
    ...settingsTexts([drill.name], drill.settings),
    ...(drill.click ? { pulse: drill.click } : {}),
    ...(drill.ladder ? { ladder: `${Math.max(10, Math.round(goal * SLOW))}-${goal}` } : {}),
  };
}
