// Runs a planned session with the ports that the options ask for: shared by `work`, `demo` and the start screen.

import { randomUUID } from 'node:crypto';
import { isJudgeable } from '../coaching/calibration.ts';
import { onLeaving, onNothingLeft } from '../devices/leaving.ts';
import { namingSource } from '../devices/naming-source.ts';
import { monitored } from '../devices/own-sound.ts';
import { localDate, localDay } from '../local-date.ts';
import type { InstrumentName } from '../music/instrument.ts';
import type { PlayedNote } from '../music/played-note.ts';
import { spanOnsets } from '../music/span.ts';
import type { ClickPort } from '../ports/click.ts';
import type { Clock } from '../ports/clock.ts';
import type { PlayerSource } from '../ports/player-source.ts';
import type { PracticeRecord } from '../ports/practice-record.ts';
import type { PulseSource } from '../ports/pulse.ts';
import type { Terminal } from '../ports/terminal.ts';
import { runSession } from '../run-session.ts';
import type { LastWork } from '../screen/start-choice.ts';
import { isTooFar } from '../section/distance.ts';
import type { SectionPlayer } from '../section/section-file.ts';
import type { Control } from '../session/event.ts';
import { type SessionPlan, withNotice } from '../session/plan.ts';
import type { SectionReport } from '../session/section-report.ts';
import type { Session } from '../session/session.ts';
import { SimulatedClock } from '../simulation/simulated-clock.ts';
import type { TakeVerdict } from '../take/verdict.ts';
import { jitterSentence } from '../wording/calibration.ts';
import { writtenName } from '../wording/note-names.ts';
import { finishedWords } from '../wording/plain-lines.ts';
import { tooFarNotice } from '../wording/section.ts';
import { sectionJson } from '../wording/section-json.ts';
import { lagNotice, recallJitter, recallLag } from './calibration-record.ts';
import { type OutletOptions, openClick } from './click-argument.ts';
import { openClockSender, openFollowedClock, readClock } from './clock-argument.ts';
import { takeUpLadders } from './ladder-record.ts';
import { rememberWork } from './last-work.ts';
import { namedPitch } from './named-note.ts';
import { print } from './print.ts';
import { openSessionRecord, tellRescued } from './record-argument.ts';
import type { RecordOptions } from './record-place.ts';
import { openSeats } from './section-argument.ts';
import {
  isModel,
  isRecording,
  isSimulated,
  openSource,
  type SourceOptions,
  type SourceWorld,
} from './source-argument.ts';
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
  /** The players of a section, each on an input of their own or a shared one; without them `from` says who plays. */
  readonly seats?: readonly SectionPlayer[];
  /** Hears of every take of a section. */
  readonly onSection?: (report: SectionReport) => void;
  /** Every take's verdict on the section as a line of JSON, and nothing else. */
  readonly json?: boolean;
  /** The simulated clock begins today and not on its usual day: somebody will ask when these takes were played. */
  readonly startsNow?: boolean;
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
  const froms = options.seats?.map(({ from }) => from) ?? [options.from];
  const isPlayedBySimulation = froms.every(isSimulated);
  if (options.fast && !isPlayedBySimulation) {
    throw usage(
      'option.fast',
      options.seats
        ? 'Cannot play fast from real instruments: --fast needs players from model or FILE.mid'
        : 'Cannot play fast from a real instrument: --fast needs --from model or --from FILE.mid',
    );
  }
  if (options.namedNote !== undefined && froms.some((from) => from !== undefined && isModel(from))) {
    throw usage(
      'option.named-note',
      'Cannot use --named-note with a model: it plays what is written, and would play no note first',
    );
  }
  const shared = options.clock === undefined ? undefined : readClock(options.clock);
  if (shared && options.fast) {
    throw usage('option.clock', 'Cannot share a clock in a fast run: other machines live in real time');
  }
  const startDate = options.startsNow ? { startDate: new Date().toISOString() } : {};
  const simulated = options.fast ? new SimulatedClock(startDate) : undefined;
  const clock: Clock = simulated ?? new (await import('../devices/system-clock.ts')).SystemClock();
  const record = await openSessionRecord(options, isPlayedBySimulation);
  let terminal: Terminal | undefined;
  let summary = '';
  const pitches = spanOnsets(plan.span).flatMap((onset) => onset.notes.map(({ pitch }) => pitch));
  // Closed whatever happens on the way: an open input or outlet would keep the process alive.
  const opened: { close(): Promise<void> }[] = [];
  try {
    // Before the screen: what a sound library has to say of its own goes to the ordinary one.
    const isDrawn = !simulated && !options.plain && !options.json && canDraw();
    const click = await openClick(simulated ? { clickTo: 'off' } : { ...options, isSeen: isDrawn });
    opened.push(click);
    terminal = isDrawn ? await openTerminal() : undefined;
    const isFirstNamed = options.namedNote !== undefined;
    const world = { clock, record, pitches, isFirstNamed, ...(terminal ? { terminal } : {}) };
    const sources = options.seats
      ? await openSection(plan, options, options.seats, world, click)
      : new Map([[plan.players[0]!.id, await openOne(plan, options, world, click)]]);
    opened.push(...sources.values());
    if (options.remembered && !isPlayedBySimulation) rememberWork(record, options.remembered);
    const takes: WorkDone['takes'][number][] = [];
    const pulse = shared?.kind === 'send' ? await openClockSender(shared.port) : undefined;
    const followed = shared?.kind === 'follow' ? await openFollowedClock(shared.port) : undefined;
    const today = localDay(clock.date());
    const laddered = options.afresh ? plan : await takeUpLadders(plan, record);
    const welcomed = await greeted(laddered, options, pitches);
    const ready = options.afresh ? welcomed : await takeUpWork(welcomed, record, today);
    const waiting = followed ? waitingFor(ready, followed) : ready;
    const sounded =
      click.unheard === undefined || simulated ? waiting : { ...waiting, unheard: click.unheard };
    const told = simulated ? sounded : withNotice(sounded, click.silence);
    const calibrated = calibrate(told, record, sources, click.name);
    if (!terminal && !options.json && calibrated.notice !== undefined) print(calibrated.notice);
    const signals = catchSignals(simulated === undefined);
    try {
      const running = runSession(
        calibrated,
        {
          clock,
          sources,
          click,
          ...(pulse ? { pulse } : {}),
          ...(followed ? { followed } : {}),
          record,
          onNews(news) {
            if (news.kind === 'verdict') takes.push({ verdict: news.report.verdict, played: news.played });
            if (news.kind === 'section') options.onSection?.(news.report);
            if (options.json && news.kind === 'section')
              print(JSON.stringify(sectionJson(news.report, plan.span.passage)));
            if (news.kind === 'finished') summary = finishedWords(news);
          },
          ...(terminal ? { terminal } : options.json ? {} : { tell: (line: string) => print(line) }),
        },
        {
          sitting: newSitting(clock),
          leavesAlone:
            options.leavesAlone === true || froms.every((from) => from !== undefined && isRecording(from)),
          unicode: hasUnicode(),
          ...(froms.includes('keys') ? { letters: await lettersFor(pitches) } : {}),
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
    const waiting = await record.leave?.();
    if (waiting !== undefined && !options.json) print(waiting);
    record.close();
  }
}

/** A name that no other sitting has, not even one that begins at the same moment. */
function newSitting(clock: Clock): string {
  return `${localDate(clock.date())} ${randomUUID().slice(0, 8)}`;
}

function waitingFor(plan: SessionPlan, { name }: PulseSource): SessionPlan {
  const waiting = `Waiting for the start of the clock from ${name}: its tempo is yours.`;
  return { ...withNotice(plan, waiting), followsPulse: true };
}

/** The one source of a player alone, with what is laid over it. */
async function openOne(
  plan: SessionPlan,
  options: WorkPorts,
  world: SourceWorld,
  click: ClickPort,
): Promise<PlayerSource> {
  const player = await openSource(options, world);
  if (!isSimulated(options.from) && options.from !== 'keys') world.record.remember('input', player.name);
  try {
    return laidOver(player, plan, options, click);
  } catch (error) {
    await player.close();
    throw error;
  }
}

/** The source of each player of a section, by name, with the same laid over it. */
async function openSection(
  plan: SessionPlan,
  options: WorkPorts,
  seats: readonly SectionPlayer[],
  world: SourceWorld,
  click: ClickPort,
): Promise<ReadonlyMap<string, PlayerSource>> {
  const sources = await openSeats(seats, world);
  try {
    return new Map(
      seats.map(({ name, instrument, shift }) => {
        const own = {
          ...options,
          ...(shift === undefined ? {} : { shift: String(shift) }),
          ...(instrument ? { instrument } : {}),
        };
        return [name, laidOver(sources.get(name)!, plan, own, click)];
      }),
    );
  } catch (error) {
    await Promise.allSettled([...sources.values()].map((source) => source.close()));
    throw error;
  }
}

/** The note that names the transposition, and the player's own sound. */
function laidOver(
  player: PlayerSource,
  { span }: SessionPlan,
  options: Pick<WorkPorts, 'namedNote' | 'shift' | 'monitor'> & { readonly instrument?: InstrumentName },
  click: ClickPort,
): PlayerSource {
  const { namedNote, shift, monitor, instrument } = options;
  const named =
    namedNote === undefined
      ? player
      : namingSource(player, namedPitch(namedNote, span.passage, { shift, instrument }));
  return monitor ? need(monitored(named, click)) : named;
}

/** The plan with what is known of each set-up: its constant lag, and a warning where it is too unsteady to judge by. */
function calibrate(
  plan: SessionPlan,
  record: PracticeRecord,
  sources: ReadonlyMap<string, PlayerSource>,
  output: string,
): SessionPlan {
  const alone = plan.players.length === 1;
  const told = plan.notice === undefined ? [] : [plan.notice];
  const players = plan.players.map((player) => {
    const { name: input } = sources.get(player.id)!;
    const lag =
      recallLag(record, { input, output, player: player.name }) ?? recallLag(record, { input, output });
    const jitter = recallJitter(record, input);
    const tolerance = player.tolerance ?? plan.tolerance;
    const own = [
      ...(lag && alone ? [lagNotice(lag)] : []),
      ...(jitter && !isJudgeable(jitter, tolerance) ? [jitterSentence(jitter, tolerance, false)] : []),
      ...(lag && !alone && isTooFar(lag.lagMicros) ? [tooFarNotice(lag.lagMicros)] : []),
    ];
    told.push(...own.map((sentence) => (alone ? sentence : `${player.name}: ${sentence}`)));
    return lag ? { ...player, lagMicros: lag.lagMicros, calibrated: true } : player;
  });
  return { ...plan, players, ...(told.length > 0 ? { notice: told.join(' ') } : {}) };
}

/** The computer keyboard has limits that a player must know before the first take. */
async function greeted(
  plan: SessionPlan,
  options: WorkPorts,
  pitches: readonly number[],
): Promise<SessionPlan> {
  if (options.namedNote !== undefined)
    return withNotice(plan, `First play ${options.namedNote}: it sets the transposition.`);
  if (options.from !== 'keys') return plan;
  const { basePitchFor, KEYBOARD_LIMITS } = await import('../devices/keyboard-source.ts');
  const first = writtenName(plan.span.passage, basePitchFor(pitches));
  return withNotice(plan, `The letter under a note is its key (a is ${first}). ${KEYBOARD_LIMITS}`);
}

async function lettersFor(pitches: readonly number[]): Promise<ReadonlyMap<number, string>> {
  const { basePitchFor, lettersByPitch } = await import('../devices/keyboard-source.ts');
  return lettersByPitch(basePitchFor(pitches));
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
 * A signal ends the session as the key does; every finished take is kept. So does a pause in plain lines from which nobody
 * can go on any more: simulated players, and no key to press. A fast run has no time to hear of a signal: there it does
 * what it always does.
 */
function catchSignals(inRealTime: boolean): {
  listen: (control: (control: Control) => void) => void;
  end: () => void;
  stop: () => void;
} {
  let control: ((control: Control) => void) | undefined;
  const end = () => control?.('quit');
  const stops = inRealTime ? [onLeaving(end), onNothingLeft(end)] : [];
  return {
    listen: (given) => {
      control = given;
    },
    end,
    stop: () => {
      for (const stop of stops) stop();
    },
  };
}
