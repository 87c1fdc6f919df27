// `fettle section calibrate FILE`: all play along with sixteen clicks together, and the constant lag of each is known and
// kept, for their input and this way of hearing the click.

import { CALIBRATION_CLICKS, estimateLag } from '../coaching/calibration.ts';
import { playIn } from '../devices/play-in.ts';
import type { Clock } from '../ports/clock.ts';
import type { PlayerSource } from '../ports/player-source.ts';
import { EXIT, ProblemError } from '../problem.ts';
import { isTooFar } from '../section/distance.ts';
import { SimulatedClock } from '../simulation/simulated-clock.ts';
import { lagSentence, lagTroubleSentence } from '../wording/calibration.ts';
import { tooFarNotice } from '../wording/section.ts';
import { CALIBRATION_BPM, clicksPlayed, clicksToPlay, LONGEST_FAST_MICROS } from './calibration-clicks.ts';
import { rememberLag } from './calibration-record.ts';
import { type OutletOptions, openClick } from './click-argument.ts';
import { print } from './print.ts';
import { openRecord } from './record-argument.ts';
import type { RecordOptions } from './record-place.ts';
import { loadSection, openSeats } from './section-argument.ts';
import { isSimulated } from './source-argument.ts';
import { usage } from './usage-problem.ts';

export interface SectionCalibrateOptions extends OutletOptions, RecordOptions {
  readonly without?: readonly string[];
  readonly fast?: boolean;
}

export async function calibrateSection(argument: string, options: SectionCalibrateOptions): Promise<void> {
  const { players } = loadSection(argument, options.without);
  const onlySimulated = players.every(({ from }) => isSimulated(from));
  if (options.fast && !onlySimulated)
    throw usage(
      'option.fast',
      'Cannot play fast from real instruments: --fast needs players from model or FILE.mid',
    );
  const simulated = options.fast ? new SimulatedClock() : undefined;
  const clock: Clock = simulated ?? new (await import('../devices/system-clock.ts')).SystemClock();
  const record = await openRecord(options, onlySimulated);
  // Closed whatever happens on the way: an open input or outlet would keep the process alive.
  const opened: { close(): Promise<void> }[] = [];
  try {
    const click = await openClick(simulated ? { clickTo: 'off' } : options);
    opened.push(click);
    const sources = await openSeats(players, { clock, record, pitches: [], recordingZero: 'prompt' });
    opened.push(...sources.values());
    print(
      `Click: ${click.name}. Four clicks are counted, then everybody plays one short note, any note of theirs, on each of ${CALIBRATION_CLICKS} clicks.`,
    );
    const { all, tapsOf } = together(sources);
    const playing = playIn({ source: all, clock, click }, clicksToPlay(CALIBRATION_BPM));
    simulated?.runUntilIdle(simulated.nowMicros() + LONGEST_FAST_MICROS);
    const counted = clicksPlayed(await playing);
    let measured = 0;
    for (const { name } of players) {
      const outcome = estimateLag(counted, tapsOf(name));
      print(`${name}: ${outcome.ok ? lagSentence(outcome.lag) : lagTroubleSentence(outcome)}`);
      if (!outcome.ok) continue;
      measured += 1;
      const { lag } = outcome;
      rememberLag(
        record,
        { input: sources.get(name)!.name, output: click.name, player: name },
        lag,
        clock.date(),
      );
      if (isTooFar(lag.lagMicros)) print(`${name}: ${tooFarNotice(lag.lagMicros)}`);
    }
    if (measured === 0) {
      throw new ProblemError({
        code: 'calibrate.too-few',
        message: 'Cannot calibrate: nobody answered the clicks',
        exitStatus: EXIT.usage,
      });
    }
    print(
      'How far single notes stray is hand and line together: of taps nobody can tell one from the other. fettle calibrate --stream measures a line alone, with a steady stream sent through it.',
    );
    if (onlySimulated && options.record === undefined) print('Nothing is kept: all of them are simulated.');
    else print(`Kept for ${measured} of ${players.length}; fettle section takes it off from now on.`);
  } finally {
    await Promise.allSettled(opened.map((one) => one.close()));
    record.close();
  }
}

/** All of them as one source, with each one's strokes apart. One who is lost does not end it for the others. */
function together(sources: ReadonlyMap<string, PlayerSource>): {
  readonly all: PlayerSource;
  readonly tapsOf: (player: string) => readonly number[];
} {
  const taps = new Map([...sources.keys()].map((name): [string, number[]] => [name, []]));
  const each = [...sources.values()];
  return {
    tapsOf: (player) => taps.get(player) ?? [],
    all: {
      name: 'section',
      start(report) {
        for (const [name, source] of sources)
          source.start((event) => {
            if (event.type !== 'note-on') return;
            taps.get(name)!.push(event.at);
            report(event);
          });
      },
      prompt(prompt) {
        for (const source of each) source.prompt(prompt);
      },
      hush(at) {
        for (const source of each) source.hush(at);
      },
      async close() {},
    },
  };
}
