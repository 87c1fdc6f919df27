// `fettle capture`: playing the passage in. A bar is counted, the player plays slowly with the click, the notes are put
// on the grid and shown for a yes, a retry or a fix of single notes, and saved as ABC.

import { existsSync } from 'node:fs';
import { onLeaving } from '../devices/leaving.ts';
import { type PlayedIn, playIn } from '../devices/play-in.ts';
import { meterText } from '../music/meter.ts';
import type { Passage } from '../music/passage.ts';
import { writeAbc } from '../notation/abc/writer.ts';
import type { CaptureHeading } from '../notation/transcription/passage.ts';
import { type Quantised, quantise } from '../notation/transcription/quantise.ts';
import { isUncertain, likelyTempo } from '../notation/transcription/tempo.ts';
import type { ClickPort } from '../ports/click.ts';
import type { Clock } from '../ports/clock.ts';
import type { PracticeRecord } from '../ports/practice-record.ts';
import { EXIT, ProblemError } from '../problem.ts';
import { captureAdvice, captureLines, onsetLine, playedLine } from '../screen/capture-lines.ts';
import { SimulatedClock } from '../simulation/simulated-clock.ts';
import { typedWord } from '../wording/typed-word.ts';
import { recallLag } from './calibration-record.ts';
import { type Draft, fixDraft, passageOfDraft } from './capture-fix.ts';
import {
  abcPath,
  type CaptureOptions,
  captureBpm,
  checkPlan,
  pickupTicks,
  readHeading,
  titleOf,
} from './capture-options.ts';
import { openClick } from './click-argument.ts';
import { tempoBpm } from './number-argument.ts';
import { openQuestions, type Questions } from './questions.ts';
import { openRecord } from './record-argument.ts';
import { isRecording, openSource } from './source-argument.ts';
import { need } from './usage-problem.ts';
import { writeWhole } from './written-file.ts';

const HELP = [
  'Enter, y   save it',
  'r          play it in again; r 50 at another tempo',
  '5          what onset 5 is',
  '5 D#4      onset 5 is a D#4, as you read it; a chord: 5 F4+A4',
  '5 1/8      onset 5 is an eighth long (a dotted quarter is 3/8, a triplet eighth 1/12)',
  '5 other    onset 5 at its other likely place',
  '5 -        leave onset 5 out',
  'u          undo the last change',
  'q          leave without saving',
];
const CAPTURE_INSTEAD =
  'Without an instrument a recorded take can be put on the grid, --from FILE.mid, or the bars typed as ABC.';
const LONGEST_FAST_MICROS = 24 * 3_600_000_000;

export async function capture(
  options: CaptureOptions,
  questions: Questions = openQuestions(),
): Promise<void> {
  const heading = readHeading(options);
  pickupTicks(options, heading.meter);
  checkPlan(options);
  const simulated = options.fast ? new SimulatedClock() : undefined;
  const clock: Clock = simulated ?? new (await import('../devices/system-clock.ts')).SystemClock();
  const recorded = options.from !== undefined && isRecording(options.from);
  const record = await openRecord(options, recorded);
  let stopPlaying = () => {};
  let left = false;
  const undo = onLeaving(() => {
    left = true;
    stopPlaying();
    questions.close();
  });
  try {
    const click = await openClick(simulated ? { clickTo: 'off' } : options);
    try {
      const studio: Studio = {
        options,
        heading,
        questions,
        clock,
        click,
        record,
        onStop: (stop) => {
          stopPlaying = stop;
        },
        ...(simulated ? { simulated } : {}),
      };
      let bpm = captureBpm(options);
      for (;;) {
        const taken = await listen(studio, bpm);
        if (left) {
          questions.tell('Nothing is saved.');
          break;
        }
        const outcome = await settle(taken, studio, bpm);
        if (outcome.kind !== 'again') break;
        bpm = outcome.bpm;
      }
    } finally {
      await click.close();
    }
  } finally {
    undo();
    questions.close();
    record.close();
  }
}

/** All that a capture needs around it. */
interface Studio {
  readonly options: CaptureOptions;
  readonly heading: CaptureHeading;
  readonly questions: Questions;
  readonly clock: Clock;
  readonly click: ClickPort;
  readonly record: PracticeRecord;
  readonly simulated?: SimulatedClock;
  readonly onStop: (stop: () => void) => void;
}

interface Recorded extends PlayedIn {
  /** The source's name. */
  readonly input: string;
}

type Outcome =
  | { readonly kind: 'saved' }
  | { readonly kind: 'left' }
  | { readonly kind: 'again'; readonly bpm: number };

/** One go: opens the source, plays in, closes the source. */
async function listen(studio: Studio, bpm: number): Promise<Recorded> {
  const { options, heading, questions, clock, click, record, simulated } = studio;
  const { meter, tempo } = heading;
  const source = await openSource(options, { clock, record, pitches: [], instead: CAPTURE_INSTEAD });
  if (options.from === undefined || !isRecording(options.from)) record.remember('input', source.name);
  questions.tell(
    `${source.name}, ${meterText(meter)} at ${bpm}: a bar is counted, then play. Two bars of silence end it${simulated ? '' : ', or Enter'}.`,
  );
  let undo = () => {};
  try {
    const playing = playIn(
      {
        source,
        clock,
        click,
        ...(simulated ? {} : { onBeat: (bar, beat) => questions.mark(beatText(bar, beat)) }),
        onStart: (stop) => {
          studio.onStop(stop);
          undo = questions.onEnter(stop);
        },
      },
      { meter, tempo: { ...tempo, bpm }, pickupTicks: pickupTicks(options, meter) },
    );
    simulated?.runUntilIdle(simulated.nowMicros() + LONGEST_FAST_MICROS);
    return { ...(await playing), input: source.name };
  } finally {
    undo();
    if (!simulated) questions.mark('\n');
    await source.close();
  }
}

function beatText(bar: number, beat: number): string {
  return beat > 1 ? ` ${beat}` : `${bar === 0 ? 'count ' : `\nbar ${String(bar).padEnd(2)}`}${beat}`;
}

/** Shows what was played until it is saved, played again or left. */
async function settle(taken: Recorded, studio: Studio, bpm: number): Promise<Outcome> {
  const { options, heading, questions } = studio;
  if (taken.end === 'lost') questions.tell(`The instrument was lost (${taken.reason}): here is what came.`);
  const quantised = putOnGrid(taken, studio, bpm);
  let draft: Draft = quantised.onsets;
  if (draft.length === 0) return nothingPlayed(studio, bpm);
  const before: Draft[] = [];
  let shows = true;
  let changed: number | undefined;
  for (;;) {
    const passage = need(passageOfDraft(draft, heading));
    if (shows) show(passage, draft, studio);
    if (draft === quantised.onsets && shows) tellPlaying(quantised, taken, studio, bpm);
    if (changed !== undefined) questions.tell(`\n${onsetLine(passage, changed)}`);
    changed = undefined;
    shows = false;
    if (options.yes) return save(passage, abcPath(options.out!), questions);
    const answer = (await questions.ask('Save it? (Enter yes, r again, ? help) '))?.trim();
    const [, again] = /^r(?:\s+(\S+))?$/i.exec(answer ?? '') ?? [];
    if (answer === undefined || /^q(uit)?$/i.test(answer)) {
      questions.tell('Nothing is saved.');
      return { kind: 'left' };
    }
    if (answer === '' || /^y(es)?$/i.test(answer)) {
      const outcome = await saveSomewhere(passage, studio);
      if (outcome) return outcome;
    } else if (/^r\b/i.test(answer)) {
      const tempo = attempt(() => (again === undefined ? bpm : tempoBpm(again)), questions);
      if (tempo !== undefined) return { kind: 'again', bpm: tempo };
    } else if (answer === '?' || /^h(elp)?$/i.test(answer)) {
      for (const line of HELP) questions.tell(line);
    } else if (/^u(ndo)?$/i.test(answer)) {
      const last = before.pop();
      if (last) {
        draft = last;
        shows = true;
      } else questions.tell('Nothing has been changed.');
    } else if (/^\d+$/.test(answer)) {
      questions.tell(onsetLine(passage, Number(answer)));
    } else {
      const fixed = attempt(() => need(fixDraft(draft, answer, heading.instrument)), questions);
      if (!fixed) continue;
      before.push(draft);
      if (fixed.length === draft.length) changed = Number.parseInt(answer, 10);
      draft = fixed;
      shows = true;
    }
  }
}

function putOnGrid(
  { notes, zeroMicros, input }: Recorded,
  { options, heading, record, click }: Studio,
  bpm: number,
): Quantised {
  // Where the tempo of a recorded take is given, it is taken to have been played to a click.
  const heard = options.from === undefined || !isRecording(options.from) || options.tempo !== undefined;
  return quantise(notes, {
    tempo: { ...heading.tempo, bpm },
    meter: heading.meter,
    // A known lag of the instrument or of the sound (fettle calibrate) is no part of the rhythm.
    zeroMicros: zeroMicros + (recallLag(record, { input, output: click.name })?.lagMicros ?? 0),
    pulse: heard ? 'click' : 'free',
  });
}

function show(passage: Passage, draft: Draft, { questions }: Studio): void {
  questions.tell('');
  for (const line of captureLines(passage, draft, process.stdout.columns || 80)) questions.tell(line);
}

function tellPlaying(quantised: Quantised, { notes }: Recorded, studio: Studio, bpm: number): void {
  const { questions, options, heading } = studio;
  const live = options.from === undefined || !isRecording(options.from);
  questions.tell(`\n${playedLine(quantised, live)}`);
  if (!isUncertain(quantised)) return;
  const { meter } = heading;
  const likelyBpm = live
    ? undefined
    : likelyTempo(notes, { bpm, meter, pickupTicks: pickupTicks(options, meter) });
  const advice = captureAdvice(quantised, { bpm, ...(live ? {} : { recorded: { likelyBpm } }) });
  if (advice !== undefined) questions.tell(advice);
}

async function nothingPlayed({ options, questions }: Studio, bpm: number): Promise<Outcome> {
  if (!options.yes && !(options.from !== undefined && isRecording(options.from))) {
    const answer = await questions.ask('Nothing was played. Once more? (Enter yes, q leave) ');
    if (answer !== undefined && !/^[qn]/i.test(answer.trim())) return { kind: 'again', bpm };
    return { kind: 'left' };
  }
  throw new ProblemError({
    code: 'capture.silent',
    message: 'Cannot make a passage: nothing was played',
    hint: 'Is the instrument the input that is listened to? fettle ports lists them.',
    exitStatus: EXIT.usage,
  });
}

/** Undefined when the player thinks better of it. */
async function saveSomewhere(passage: Passage, { options, questions }: Studio): Promise<Outcome | undefined> {
  let wanted = options.out;
  for (;;) {
    if (wanted === undefined) {
      const answer = (await questions.ask('File name: '))?.trim();
      if (answer === undefined || answer === '') return undefined;
      wanted = answer;
    }
    const name: string = wanted;
    wanted = undefined;
    const path = attempt(() => abcPath(name), questions);
    if (path === undefined) continue;
    if (existsSync(path) && !options.force) {
      const answer = await questions.ask(`${path} is there already. Write over it? (y, n) `);
      if (answer === undefined) return undefined;
      if (!/^y(es)?$/i.test(answer.trim())) continue;
    }
    const title = options.title ?? titleOf(path);
    const saved = attempt(() => save({ ...passage, title }, path, questions), questions);
    if (saved) return saved;
  }
}

function save(passage: Passage, path: string, questions: Questions): Outcome {
  writeWhole(path, writeAbc(passage));
  questions.tell(`Saved ${path}. Next: fettle work ${typedWord(path)}`);
  return { kind: 'saved' };
}

/** A problem in the middle is told, and the asking goes on. */
function attempt<T>(work: () => T, questions: Questions): T | undefined {
  try {
    return work();
  } catch (error) {
    if (!(error instanceof ProblemError)) throw error;
    questions.tell(error.problem.message);
    if (error.problem.hint) questions.tell(`  ${error.problem.hint}`);
    return undefined;
  }
}
