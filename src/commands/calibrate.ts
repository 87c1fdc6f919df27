// `fettle calibrate`: the player plays along with sixteen clicks, and the constant lag of this instrument with this way
// of hearing the click is measured and kept. With --stream a steady stream of notes comes in, and its jitter is measured.

import { CALIBRATION_CLICKS, estimateLag, isJudgeable, measureJitter } from '../coaching/calibration.ts';
import { onLeaving } from '../devices/leaving.ts';
import { playIn } from '../devices/play-in.ts';
import { listenToStream } from '../devices/steady-stream.ts';
import type { ClickPort } from '../ports/click.ts';
import type { Clock } from '../ports/clock.ts';
import type { PlayerSource } from '../ports/player-source.ts';
import type { PracticeRecord } from '../ports/practice-record.ts';
import { EXIT, ProblemError } from '../problem.ts';
import { SimulatedClock } from '../simulation/simulated-clock.ts';
import { isToleranceName, TOLERANCES } from '../take/tolerance.ts';
import { jitterSentence, lagSentence, lagTroubleSentence } from '../wording/calibration.ts';
import { CALIBRATION_BPM, clicksPlayed, clicksToPlay, LONGEST_FAST_MICROS } from './calibration-clicks.ts';
import { rememberJitter, rememberLag } from './calibration-record.ts';
import { type OutletOptions, openClick } from './click-argument.ts';
import { tempoBpm } from './number-argument.ts';
import { openQuestions, type Questions } from './questions.ts';
import { openRecord } from './record-argument.ts';
import type { RecordOptions } from './record-place.ts';
import { isModel, isSimulated, openSource, type SourceOptions } from './source-argument.ts';
import { usage } from './usage-problem.ts';

export interface CalibrateOptions extends SourceOptions, OutletOptions, RecordOptions {
  readonly tempo?: string;
  readonly tolerance?: string;
  readonly stream?: boolean;
  readonly fast?: boolean;
}

export async function calibrate(
  options: CalibrateOptions,
  questions: Questions = openQuestions(),
): Promise<void> {
  const bpm = tempoBpm(options.tempo ?? String(CALIBRATION_BPM));
  if (options.from === 'keys') {
    throw usage(
      'calibrate.keys',
      'Cannot calibrate the computer keyboard: a terminal tells no keys in plain lines, and stamps them too coarsely',
    );
  }
  if (options.fast && !isSimulated(options.from)) {
    throw usage(
      'option.fast',
      'Cannot play fast from a real instrument: --fast needs --from FILE.mid or model',
    );
  }
  if (options.stream && options.tempo !== undefined)
    throw usage(
      'option.idle',
      'Cannot use --tempo with --stream: no click is played, the stream comes as it is',
    );
  if (!options.stream && options.tolerance !== undefined)
    throw usage(
      'option.idle',
      'Cannot use --tolerance without --stream: a lag is measured, and none is too long',
    );
  const simulated = options.fast ? new SimulatedClock() : undefined;
  const clock: Clock = simulated ?? new (await import('../devices/system-clock.ts')).SystemClock();
  const record = await openRecord(options, isSimulated(options.from));
  let stop = () => {};
  let left = false;
  const undo = onLeaving(() => {
    left = true;
    stop();
  });
  try {
    const source = await openSource(options, {
      clock,
      record,
      pitches: [],
      recordingZero: 'prompt',
      instead: 'It is the instrument that is measured: plug it in. fettle ports lists what is there.',
    });
    if (!isSimulated(options.from)) record.remember('input', source.name);
    const setting: Setting = {
      options,
      questions,
      clock,
      record,
      source,
      onStart: (given) => {
        stop = given;
      },
      run: () => simulated?.runUntilIdle(simulated.nowMicros() + LONGEST_FAST_MICROS),
      isLeft: () => left,
    };
    try {
      if (options.stream) await measureStream(setting);
      else await measureLag(setting, await openClick(simulated ? { clickTo: 'off' } : options), bpm);
    } finally {
      await source.close();
    }
  } finally {
    undo();
    questions.close();
    record.close();
  }
}

interface Setting {
  readonly options: CalibrateOptions;
  readonly questions: Questions;
  readonly clock: Clock;
  readonly record: PracticeRecord;
  readonly source: PlayerSource;
  readonly onStart: (stop: () => void) => void;
  /** Lets the simulated clock run, where there is one. */
  readonly run: () => void;
  readonly isLeft: () => boolean;
}

async function measureLag(setting: Setting, click: ClickPort, bpm: number): Promise<void> {
  const { questions, clock, record, source, options } = setting;
  try {
    questions.tell(
      `${source.name}, click: ${click.name}. Four clicks are counted, then play one short note, any note, on each of ${CALIBRATION_CLICKS} clicks.`,
    );
    if (click.name === 'no sound' && !options.fast) {
      questions.tell(
        'The click is only seen here: what is measured is eye and hand. For the ear choose --click-to.',
      );
    }
    const playing = playIn(
      {
        source,
        clock,
        click,
        onStart: setting.onStart,
        ...(options.fast
          ? {}
          : {
              onBeat: (bar, beat) =>
                questions.mark(beat > 1 ? ` ${beat}` : `${bar === 0 ? 'count' : '\nplay '} 1`),
            }),
      },
      clicksToPlay(bpm),
    );
    setting.run();
    const played = await playing;
    questions.mark('\n');
    if (setting.isLeft()) return questions.tell('Nothing is kept.');
    if (played.end === 'lost') throw lost(played.reason);
    const outcome = estimateLag(
      clicksPlayed(played),
      played.notes.map((note) => note.onMicros),
    );
    if (!outcome.ok) {
      throw new ProblemError({
        code: `calibrate.${outcome.reason}`,
        message: lagTroubleSentence(outcome),
        exitStatus: EXIT.usage,
      });
    }
    questions.tell(lagSentence(outcome.lag));
    if (isSimulated(options.from) && options.record === undefined) {
      questions.tell(
        `Nothing is kept: a ${isModel(options.from!) ? 'model' : 'recorded take'} is no set-up that fettle work could take a lag off from.`,
      );
      return;
    }
    rememberLag(record, { input: source.name, output: click.name }, outcome.lag, clock.date());
    questions.tell(`Kept for ${source.name} with ${click.name}; fettle work takes it off from now on.`);
  } finally {
    await click.close();
  }
}

async function measureStream(setting: Setting): Promise<void> {
  const { questions, clock, record, source, options } = setting;
  questions.tell(
    `${source.name}: start a steady stream of notes now (an arpeggiator, a sequencer), and stop it after ten seconds.`,
  );
  const listening = listenToStream(source, clock, setting.onStart);
  setting.run();
  const { onsetsMicros, end, reason } = await listening;
  if (setting.isLeft()) return questions.tell('Nothing is kept.');
  if (end === 'lost') throw lost(reason);
  const jitter = measureJitter(onsetsMicros);
  if (!jitter) {
    throw new ProblemError({
      code: 'calibrate.too-few',
      message: `Cannot measure the jitter: ${onsetsMicros.length} notes came, and eight at least are needed`,
      hint: 'A stream of equal notes is needed, such as an arpeggiator sends; a hand is never so steady.',
      exitStatus: EXIT.usage,
    });
  }
  rememberJitter(record, source.name, jitter);
  const asked = options.tolerance;
  const tolerances =
    asked !== undefined && isToleranceName(asked) ? [TOLERANCES[asked]] : Object.values(TOLERANCES);
  for (const tolerance of tolerances)
    questions.tell(jitterSentence(jitter, tolerance, isJudgeable(jitter, tolerance)));
}

function lost(reason: string | undefined): ProblemError {
  return new ProblemError({
    code: 'calibrate.lost',
    message: `Cannot go on: the instrument was lost (${reason})`,
    exitStatus: EXIT.device,
  });
}
