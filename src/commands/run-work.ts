// Runs a planned session with the ports that the options ask for: shared by `work`, `demo` and the start screen.

import { randomUUID } from 'node:crypto';
import { judgeable } from '../coaching/calibration.ts';
import { onLeaving } from '../devices/leaving.ts';
import { namingSource } from '../devices/naming-source.ts';
import { monitored } from '../devices/own-sound.ts';
import { localDate, localDay } from '../local-date.ts';
import type { PlayedNote } from '../music/played-note.ts';
import { spanOnsets } from '../music/span.ts';
import type { Clock } from '../ports/clock.ts';
import type { PracticeRecord } from '../ports/practice-record.ts';
import type { PulseSource } from '../ports/pulse.ts';
import type { Terminal } from '../ports/terminal.ts';
import { runSession } from '../run-session.ts';
import type { LastWork } from '../screen/start-screen.ts';
import type { Control } from '../session/event.ts';
import type { SessionPlan } from '../session/plan.ts';
import type { Session } from '../session/session.ts';
import { SimulatedClock } from '../simulation/simulated-clock.ts';
import type { TakeVerdict } from '../take/verdict.ts';
import { writtenName } from '../wording/note-names.ts';
import { finishedWords } from '../wording/plain-lines.ts';
import { lagNotice, recallJitter, recallLag, type SetUp } from './calibration-record.ts';
import { type OutletOptions, openClick } from './click-argument.ts';
import { openClockSender, openFollowedClock, readClock } from './clock-argument.ts';
import { takeUpLadders } from './ladder-record.ts';
import { rememberWork } from './last-work.ts';
import { namedPitch } from './named-note.ts';
import { print } from './print.ts';
import { openRecord, type RecordOptions, tellRescued } from './record-argument.ts';
import { isModel, isRecording, isSimulated, openSource, type SourceOptions } from './source-argument.ts';
import { takeUpWork } from './take-up-work.ts';
import { need, usage } from './usage-problem.ts';

export interface WorkPorts extends SourceOptions, OutletOptions, RecordOptions {
  readonly plain?: boolean;
  readonly fast?: boolean;
  /** Leave when the session is over, without waiting for a key. */
  readonly leavesAlone?: boolean;
  /** The player's own notes as sound, where the click sounds. */
  readonly monitor?: boolean;
  /** send:PORT or follow:PORT. */
  readonly clock?: string;
  /** A written note that is played first to set the transposition. */
  readonly namedNote?: string;
  /** From the beginning: not at the step, nor on the rung, where it was left. */
  readonly afresh?: boolean;
  /** For the start screen to begin with the next time, where a person plays. */
  readonly remembered?: LastWork;
}

/** A simulated session longer than this has lost its way. */
const LONGEST_FAST_MICROS = 24 * 3_600_000_000;

/** The session at its end, and its judged takes in order. */
export interface WorkDone {
  readonly session: Session;
  readonly takes: readonly { readonly verdict: TakeVerdict; readonly played: readonly PlayedNote[] }[];
}

export async function runWork(plan: SessionPlan, options: WorkPorts): Promise<WorkDone> {
  if (options.fast && !isSimulated(options.from)) {
    throw usage(
      'option.fast',
      'Cannot play fast from a real instrument: --fast needs --from model or --from FILE.mid',
    );
  }
  if (options.namedNote !== undefined && options.from !== undefined && isModel(options.from)) {
    throw usage(
      'option.named-note',
      'Cannot use --named-note with a model: it plays what is written, and would play no note first',
    );
  }
  const shared = options.clock === undefined ? undefined : readClock(options.clock);
  if (shared && options.fast) {
    throw usage('option.clock', 'Cannot share a clock in a fast run: other machines live in real time');
  }
  const simulated = options.fast ? new SimulatedClock() : undefined;
  const clock: Clock = simulated ?? new (await import('../devices/system-clock.ts')).SystemClock();
  const record = await openRecord(options, isSimulated(options.from));
  let terminal: Terminal | undefined;
  let summary = '';
  const pitches = spanOnsets(plan.span).flatMap((onset) => onset.notes.map(({ pitch }) => pitch));
  // Closed whatever happens on the way: an open input or outlet would keep the process alive.
  const opened: { close(): Promise<void> }[] = [];
  try {
    // Before the screen: what a sound library has to say of its own goes to the ordinary one.
    const click = await openClick(simulated ? { clickTo: 'off' } : options);
    opened.push(click);
    terminal = !simulated && !options.plain && canDraw() ? await openTerminal() : undefined;
    const player = await openSource(options, { clock, record, pitches, ...(terminal ? { terminal } : {}) });
    opened.push(player);
    if (!isSimulated(options.from) && options.from !== 'keys') record.remember('input', player.name);
    if (options.remembered && !isSimulated(options.from)) rememberWork(record, options.remembered);
    const takes: WorkDone['takes'][number][] = [];
    const pulse = shared?.kind === 'send' ? await openClockSender(shared.port) : undefined;
    const followed = shared?.kind === 'follow' ? await openFollowedClock(shared.port) : undefined;
    const named =
      options.namedNote === undefined
        ? player
        : namingSource(player, namedPitch(options.namedNote, plan.span.passage, options.shift));
    const source = options.monitor ? need(monitored(named, click)) : named;
    const today = localDay(clock.date());
    const laddered = options.afresh ? plan : takeUpLadders(plan, record);
    const welcomed = await greeted(laddered, options, pitches);
    const ready = options.afresh ? welcomed : takeUpWork(welcomed, record, today);
    const waiting = followed ? waitingFor(ready, followed) : ready;
    const sounded =
      click.unheard === undefined || simulated ? waiting : { ...waiting, unheard: click.unheard };
    const told = simulated ? sounded : withNotice(sounded, click.silence);
    const calibrated = calibrate(told, record, { input: source.name, output: click.name });
    if (!terminal && calibrated.notice !== undefined) print(calibrated.notice);
    const signals = catchSignals(simulated === undefined);
    try {
      const running = runSession(
        calibrated,
        {
          clock,
          sources: new Map(plan.players.map(({ id }) => [id, source])),
          click,
          ...(pulse ? { pulse } : {}),
          ...(followed ? { followed } : {}),
          record,
          onNews(news) {
            if (news.kind === 'verdict') takes.push({ verdict: news.report.verdict, played: news.played });
            if (news.kind === 'finished') summary = finishedWords(news);
          },
          ...(terminal ? { terminal } : { tell: (line: string) => print(line) }),
        },
        {
          sitting: newSitting(clock),
          leavesAlone:
            options.leavesAlone === true || (options.from !== undefined && isRecording(options.from)),
          unicode: hasUnicode(),
          lettersPlay: options.from === 'keys',
          onStart: signals.listen,
        },
      );
      if (simulated && !simulated.runUntilIdle(LONGEST_FAST_MICROS)) signals.end();
      // Nobody waits any more and the session has not ended: it is paused, and nobody will press a key.
      if (simulated) signals.end();
      return { session: await running, takes };
    } finally {
      signals.stop();
    }
  } finally {
    terminal?.close();
    await Promise.allSettled(opened.map((one) => one.close()));
    // The screen is gone with all that was on it: what came of the work stays.
    if (terminal && summary !== '') print(summary);
    tellRescued(record);
    record.close();
  }
}

function withNotice(plan: SessionPlan, notice: string | undefined): SessionPlan {
  return notice === undefined ? plan : { ...plan, notice: [plan.notice, notice].filter(Boolean).join(' ') };
}

/** A name that no other sitting has, not even one that begins at the same moment. */
function newSitting(clock: Clock): string {
  return `${localDate(clock.date())} ${randomUUID().slice(0, 8)}`;
}

function waitingFor(plan: SessionPlan, { name }: PulseSource): SessionPlan {
  const waiting = `Waiting for the start of the clock from ${name}: its tempo is yours.`;
  return { ...withNotice(plan, waiting), followsPulse: true };
}

/** The plan with what is known of the set-up: its constant lag, and a warning where it is too unsteady to judge by. */
function calibrate(plan: SessionPlan, record: PracticeRecord, setUp: SetUp): SessionPlan {
  const lag = recallLag(record, setUp);
  const jitter = recallJitter(record, setUp.input);
  const steady = jitter ? judgeable(jitter, plan.tolerance) : undefined;
  const told = [
    ...(plan.notice === undefined ? [] : [plan.notice]),
    ...(lag ? [lagNotice(lag)] : []),
    ...(steady && !steady.ok ? [steady.sentence] : []),
  ];
  return {
    ...plan,
    ...(lag ? { players: plan.players.map((player) => ({ ...player, lagMicros: lag.lagMicros })) } : {}),
    ...(told.length > 0 ? { notice: told.join(' ') } : {}),
  };
}

/** The computer keyboard has limits that a player must know before the first take. */
async function greeted(
  plan: SessionPlan,
  options: WorkPorts,
  pitches: readonly number[],
): Promise<SessionPlan> {
  if (options.namedNote !== undefined)
    return { ...plan, notice: `First play ${options.namedNote}: it sets the transposition.` };
  if (options.from !== 'keys') return plan;
  const { basePitchFor, KEYBOARD_LIMITS } = await import('../devices/keyboard-source.ts');
  const first = writtenName(plan.span.passage, basePitchFor(pitches));
  return {
    ...plan,
    notice: `a plays ${first}, w the next semitone. ${KEYBOARD_LIMITS}`,
  };
}

function canDraw(): boolean {
  return process.stdout.isTTY === true && process.stdin.isTTY === true && process.env.TERM !== 'dumb';
}

async function openTerminal(): Promise<Terminal> {
  const { openTerminal: open } = await import('../devices/blessed-terminal.ts');
  return open();
}

/** Whether the terminal says that it shows UTF-8. */
function hasUnicode(): boolean {
  const { LC_ALL, LC_CTYPE, LANG } = process.env;
  return (
    /utf-?8/i.test(LC_ALL || LC_CTYPE || LANG || '') ||
    process.platform === 'win32' ||
    process.platform === 'darwin'
  );
}

/**
 * A signal ends the session as the key does; every finished take is kept. A fast run has no time to hear of it: there a
 * signal does what it always does.
 */
function catchSignals(inRealTime: boolean): {
  listen: (control: (control: Control) => void) => void;
  end: () => void;
  stop: () => void;
} {
  let control: ((control: Control) => void) | undefined;
  const end = () => control?.('quit');
  const stop = inRealTime ? onLeaving(end) : () => {};
  return {
    listen: (given) => {
      control = given;
    },
    end,
    stop,
  };
}
