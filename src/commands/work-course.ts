// `fettle work PASSAGE --minutes 30`: what stands in the way is found, drilled in turns, and put back into its context.

import {
  type CourseDrill,
  drilled,
  isPassed,
  nextCourseBpm,
  nextTurn,
  type Turn,
} from '../coaching/course.ts';
import { dateOf, dayNumber } from '../coaching/due.ts';
import type { SurveyTake } from '../coaching/interval-figures.ts';
import type { PrescribedDrill } from '../coaching/prescription.ts';
import { localDay } from '../local-date.ts';
import { type Span, spanOnsets } from '../music/span.ts';
import { dayOf, type EntryHeading, isComplete, UNNAMED_PLAYER } from '../record/entry.ts';
import { passageFingerprint } from '../record/fingerprint.ts';
import { standingOf } from '../record/standing.ts';
import { wrap } from '../screen/canvas.ts';
import { type SessionPlan, stepNames } from '../session/plan.ts';
import { hasLeft, type Session } from '../session/session.ts';
import { foldTake } from '../take/fold.ts';
import { tomorrowLines, turnWords } from '../wording/course.ts';
import { prescriptionSentence } from '../wording/prescription.ts';
import { typedWord } from '../wording/typed-word.ts';
import { workToRemember } from './last-work.ts';
import { wholeNumber } from './number-argument.ts';
import { loadOwnSpan } from './passage-argument.ts';
import { print } from './print.ts';
import { openReaderOrNew, wholeEntries } from './record-reading.ts';
import { runWork, type WorkPorts } from './run-work.ts';
import type { SessionOptions } from './session-options.ts';
import { planSession } from './session-setup.ts';
import { isSimulated } from './source-argument.ts';
import {
  choiceWords,
  LEAST_RUN_THROUGHS,
  prescribedFor,
  prescribedOptions,
  runThroughsOf,
  SURVEY,
  type Surveyed,
  TOO_LITTLE,
} from './survey.ts';

type Options = SessionOptions & WorkPorts;

/** Run-throughs that are older say nothing any more. */
const SURVEY_DAYS = 7;
/** Less is left than this: no time to look for something new. */
const LEAST_MINUTES_FOR_A_SURVEY = 6;

/** A course on its way: its drills with the plan of each. */
interface Course {
  readonly drills: readonly CourseDrill[];
  readonly plans: readonly SessionPlan[];
  readonly bpm: number;
  /** Why these drills. */
  readonly why: string;
  /** The local day of the run-throughs. */
  readonly day: string;
}

export async function workCourse(argument: string, options: Options): Promise<void> {
  const minutes = wholeNumber(options.minutes ?? '', 'the minutes', { least: 5, most: 240 });
  const { minutes: _, ...others } = options;
  const untimed = { ...others, remembered: workToRemember(argument, options) };
  const span = await loadOwnSpan(argument, untimed);
  const today = localDay(new Date());
  let spentMicros = 0;
  let playedMicros = 0;
  let isNew = false;
  const survey = async (bpm: number | undefined): Promise<Course | undefined> => {
    print(
      `First ${LEAST_RUN_THROUGHS} run-throughs, to find what stands in the way: play on whatever happens.`,
    );
    const tempo = bpm === undefined ? {} : { tempo: String(bpm) };
    const done = await runThroughsOf(span, { ...untimed, ...tempo }, LEAST_RUN_THROUGHS);
    spentMicros += done.workedMicros;
    playedMicros += done.workedMicros;
    isNew = true;
    return done.takes.length < LEAST_RUN_THROUGHS
      ? undefined
      : courseOf(argument, span, { ...done, day: today }, untimed, []);
  };

  let course = (await keptCourse(argument, span, untimed, today)) ?? (await survey(undefined));
  if (course === undefined) {
    print(TOO_LITTLE);
    return;
  }
  say(isNew ? course.why : `By the run-throughs of ${course.day}: ${course.why}`);
  let told: string | undefined = course.why;
  for (let last: number | undefined; ; ) {
    const spentMinutes = spentMicros / 60_000_000;
    const turn: Turn = nextTurn(course.drills, {
      minutes,
      spentMinutes,
      today,
      ...(last === undefined ? {} : { last }),
    });
    const isDone = turn.kind === 'context' && course.drills.every(isPassed);
    if (isDone && minutes - spentMinutes > LEAST_MINUTES_FOR_A_SURVEY) {
      const next = await survey(nextCourseBpm(course.bpm, span.passage.tempo.bpm));
      if (next === undefined) break;
      course = next;
      told = course.why;
      last = undefined;
      say(course.why);
      continue;
    }
    const words = turnWords(
      turn,
      course.drills,
      turn.kind === 'context' ? [] : titles(course.plans[turn.index]!),
    );
    const session = await playTurn(turn, course, {
      span,
      options: untimed,
      playedMicros,
      notice: [words, told].filter((one) => one !== undefined).join(' '),
    });
    told = undefined;
    spentMicros += session.workedMicros;
    playedMicros = session.playedMicros;
    if (turn.kind !== 'context') {
      course = withProgress(course, turn.index, session, today);
      last = turn.index;
    }
    if (turn.kind === 'context' || hasLeft(session) || session.workedMicros === 0) break;
  }
  const command = tomorrowCommand(argument, options);
  for (const line of tomorrowLines(course.drills, course.plans.map(titles), command)) print(line);
}

/** The same once more: another hand or another part would be other music. */
function tomorrowCommand(argument: string, options: Options): string {
  const { tolerance } = options;
  const asked = (['bars', 'onsets', 'mark', 'touch', 'minutes'] as const).flatMap((name) => {
    const value = options[name];
    return value === undefined ? [] : [`--${name} ${typedWord(value)}`];
  });
  const strict = tolerance === undefined || tolerance === 'steady' ? [] : [`--tolerance ${tolerance}`];
  return ['fettle work', typedWord(argument), ...choiceWords(options), ...strict, ...asked].join(' ');
}

/** Broken between words, as wide as the narrowest screen that is usual. */
function say(text: string): void {
  for (const line of wrap(text, 78)) print(line);
}

async function playTurn(
  turn: Turn,
  course: Course,
  {
    span,
    options,
    playedMicros,
    notice,
  }: {
    readonly span: Span;
    readonly options: Options;
    readonly playedMicros: number;
    readonly notice: string;
  },
): Promise<Session> {
  const plan =
    turn.kind === 'context'
      ? planSession(span, { ...options, drill: 'through', tempo: String(contextBpm(course)) })
      : course.plans[turn.index]!;
  const { minutes } = turn;
  const { session } = await runWork(
    { ...plan, ...startOf(turn, course), minutes, playedBeforeMicros: playedMicros, notice },
    // Where it is taken up is settled here; only a ladder knows its own rung.
    { ...options, leavesAlone: true, afresh: !plan.steps.some(({ ladder }) => ladder) },
  );
  return session;
}

/** What has been played through up to a faster tempo is not asked for at the slow one again. */
function contextBpm({ drills, plans, bpm }: Course): number {
  const reached = drills.flatMap((one, i) =>
    one.drill.name === 'through' && isPassed(one)
      ? plans[i]!.steps.map(({ ladder }) => ladder?.plan.goalBpm ?? bpm)
      : [],
  );
  return Math.max(bpm, ...reached);
}

function startOf(turn: Turn, course: Course): Pick<SessionPlan, 'startsAt'> {
  if (turn.kind === 'context') return {};
  const { passed, steps } = course.drills[turn.index]!;
  if (turn.kind === 'check') return { startsAt: { index: steps - 1, onceClean: true } };
  if (passed === 0) return {};
  return { startsAt: { index: turn.checks ? passed - 1 : passed, onceClean: turn.checks } };
}

function withProgress(course: Course, index: number, { tallies }: Session, today: string): Course {
  const open = tallies.findIndex(({ state }) => state === 'open');
  const passed = open < 0 ? tallies.length : open;
  const drills = course.drills.map((one, i) => (i === index ? { ...one, passed, day: today } : one));
  return { ...course, drills };
}

function titles(plan: SessionPlan): string[] {
  return stepNames(plan).map(({ name }) => name);
}

interface KeptSurvey extends Omit<Surveyed, 'workedMicros'> {
  readonly day: string;
}

/** `since`: what has been played since the run-throughs. */
async function courseOf(
  argument: string,
  span: Span,
  { takes, bpm, day }: KeptSurvey,
  options: Options,
  since: readonly EntryHeading[],
): Promise<Course> {
  const prescription = prescribedFor(span, takes, options);
  const { bars: _, onsets: __, mark: ___, ...wholeFile } = options;
  const own = await Promise.all(
    drilled(prescription).map(async (drill) => {
      const told = {
        ...wholeFile,
        ...prescribedOptions(drill, span),
        tempo: options.tempo ?? String(bpm),
      };
      const { tempo, ...laddered } = told;
      const asked = told.ladder === undefined ? told : laddered;
      const plan = planSession(await loadOwnSpan(argument, asked), asked);
      return { plan, standing: progressOfDrill(drill, plan, since) };
    }),
  );
  return {
    drills: own.map(({ standing }) => standing),
    plans: own.map(({ plan }) => plan),
    bpm: options.tempo === undefined ? bpm : Number(options.tempo),
    why: prescriptionSentence(prescription.why, span.passage),
    day,
  };
}

function progressOfDrill(
  drill: PrescribedDrill,
  plan: SessionPlan,
  since: readonly EntryHeading[],
): CourseDrill {
  const { span, steps } = plan;
  const own = since.filter(({ first, last }) => first === span.first && last === span.last);
  const { next = 0, day } = standingOf(own, stepNames(plan)) ?? {};
  return { drill, steps: steps.length, passed: next, ...(day === undefined ? {} : { day }) };
}

/** The course by the last run-throughs in the record, where they are not too old; undefined without any. */
async function keptCourse(
  argument: string,
  span: Span,
  options: Options,
  today: string,
): Promise<Course | undefined> {
  if (options.afresh || (isSimulated(options.from) && options.record === undefined)) return undefined;
  const reader = await openReaderOrNew(options);
  try {
    const fingerprint = passageFingerprint(span.passage);
    const players = [options.player ?? UNNAMED_PLAYER];
    const from = dateOf(dayNumber(today) - SURVEY_DAYS);
    const { first, last: lastOnset } = span;
    const surveys = { fingerprint, players, drill: SURVEY, first, last: lastOnset, from };
    const found = [];
    for await (const entry of wholeEntries(reader, surveys)) if (isComplete(entry)) found.push(entry);
    const last = found.at(-1);
    const sitting = found.filter((entry) => entry.sitting === last?.sitting);
    const onsets = spanOnsets(span);
    const takes: SurveyTake[] = sitting.flatMap(({ playing }) => {
      if (!playing) return [];
      const { verdict, played } = foldTake(playing);
      return [{ verdict, played, onsets }];
    });
    if (!last || takes.length < LEAST_RUN_THROUGHS) return undefined;
    const day = dayOf(last);
    const since = (await reader.headings({ fingerprint, players, from: day })).filter(
      (take) => take.date > last.date && take.drill !== SURVEY,
    );
    return await courseOf(argument, span, { takes, bpm: last.tempoBpm, day }, options, since);
  } finally {
    await reader.close();
  }
}
