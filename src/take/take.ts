// One take on its way: when its lead-in, its run, its stop and its verdict are, and what each player has played so far.
// Times of a step with a click are fixed when the take is planned; those of a free step follow the players. Plain data.

import { type ClickAccent, onsetsOfAll, type Run, type Step } from '../drills/step.ts';
import type { PlayerEvent } from '../music/player-event.ts';
import { microsAt, microsBetween, tickAt } from '../music/timing.ts';
import { hearingOf, type LineTake, startLine, withEvent, withTime } from './line-take.ts';
import type { UsualPlaying } from './terms.ts';
import type { Tolerance } from './tolerance.ts';

/** Least time between the stop and the verdict, so that a note on the stop has arrived. */
const SETTLE_LEAST_MICROS = 150_000;
/** A free take ends when nothing has come for this many asked intervals, and never before a second and a half. */
const FREE_SILENCE_INTERVALS = 5;
const FREE_SILENCE_LEAST_MICROS = 1_500_000;

export interface Take {
  readonly run: Run;
  /** How often this step has been tried, from 1. */
  readonly attempt: number;
  /** Played time of the step's tick 0; for a free step the earliest time of its first note. */
  readonly zeroMicros: number;
  /** First click of the lead-in, or the entry where there is none. */
  readonly beginMicros: number;
  /** Slips do not stop it (a survey). */
  readonly unstopped: boolean;
  /** Players whose slips stop nobody, as indexes. */
  readonly spared?: readonly number[];
  /** So many of the others may slip before the run stops; 0 where not told. */
  readonly slipsAllowed?: number;
  /** Where the run stops after a slip: a beat boundary before the run's own stop. */
  readonly cutTick?: number;
  /** By player. */
  readonly lines: readonly LineTake[];
}

/** How a take is entered: after its own lead-in, which begins at `fromMicros`, or straight from the landing. */
export type Entrance =
  | { readonly kind: 'lead-in'; readonly fromMicros: number }
  | { readonly kind: 'join'; readonly atMicros: number };

/** What of a player decides how their line is judged. */
export interface LineSettings {
  /** Known constant lag of the set-up against the click, positive = late; 0 where none is known. */
  readonly lagMicros: number;
  /** See TakeTerms. */
  readonly shiftSemitones: number;
  readonly usual?: UsualPlaying;
  /** Where it is not that of the others. */
  readonly tolerance?: Tolerance;
}

/** Played time of a tick of the take's run. */
export function tickMicros({ zeroMicros, run }: Pick<Take, 'run' | 'zeroMicros'>, tick: number): number {
  return zeroMicros + microsAt(run, tick);
}

/** A beat of the tempo where a tick is. */
function beatMicros(run: Run, tick: number): number {
  return microsBetween(run, tick, tick + run.tempo.beatTicks);
}

/** `players` has an entry for each of the step's lines. */
export function planTake(
  { run, lines }: Step,
  entry: Entrance,
  options: {
    readonly attempt: number;
    readonly tolerance: Tolerance;
    readonly evenTouch?: boolean;
    readonly players: readonly LineSettings[];
    readonly unstopped?: boolean;
    readonly spared?: readonly number[];
    readonly slipsAllowed?: number;
  },
): Take {
  const micros = (tick: number) => microsAt(run, tick);
  const firstClick = Math.min(run.startTick, run.clicks[0]?.tick ?? run.startTick);
  const zeroMicros =
    entry.kind === 'join' ? entry.atMicros - micros(run.startTick) : entry.fromMicros - micros(firstClick);
  const firstOnset = zeroMicros + micros(onsetsOfAll({ run, lines })[0]!.tick);
  return {
    run,
    attempt: options.attempt,
    unstopped: options.unstopped ?? false,
    spared: options.spared ?? [],
    slipsAllowed: options.slipsAllowed ?? 0,
    zeroMicros,
    beginMicros: entry.kind === 'join' ? entry.atMicros : entry.fromMicros,
    lines: options.players.map((player, i) => {
      const lagMicros = run.pulse === 'click' ? player.lagMicros : 0;
      return startLine({
        run,
        line: lines[i]!,
        tolerance: player.tolerance ?? options.tolerance,
        zeroMicros,
        lagMicros,
        shiftSemitones: player.shiftSemitones,
        ...(entry.kind === 'join' ? { joined: true as const } : {}),
        ...(options.evenTouch ? { evenTouch: true as const } : {}),
        ...(player.usual ? { usual: player.usual } : {}),
        // Half a beat: sooner than that is not an entry but a note too many.
        opensMicros: Math.round(firstOnset + lagMicros - beatMicros(run, run.startTick) / 2),
      });
    }),
  };
}

/** The clicks of a take. A joined take has no lead-in: the landing's click goes on into it. */
export function takeClicks(take: Take, joined: boolean): { atMicros: number; accent: ClickAccent }[] {
  const { run } = take;
  const end = endMicros(take);
  return run.clicks
    .filter((click) => !joined || click.tick >= run.startTick)
    .map((click) => ({ atMicros: tickMicros(take, click.tick), accent: click.accent }))
    .filter((click) => end === undefined || click.atMicros < end);
}

/** Something a player sent; what is no note is kept, too. After a slip the run goes on to the next beat and stops there. */
export function takeEvent(take: Take, player: number, event: PlayerEvent): Take {
  const lines = take.lines.map((line, i) => (i === player ? withEvent(line, event) : line));
  return cutAfterSlip({ ...take, lines });
}

/** The clock has reached `at`. */
export function takeTime(take: Take, at: number): Take {
  return cutAfterSlip({ ...take, lines: take.lines.map((line) => withTime(line, at)) });
}

function cutAfterSlip(take: Take): Take {
  const { run, zeroMicros, cutTick, unstopped } = take;
  if (run.pulse === 'free' || unstopped) return take;
  const slip = stoppingSlipMicros(take);
  if (slip === undefined) return take;
  const slipTick = tickAt(run, slip - zeroMicros);
  const boundary = run.beats.find((tick) => tick > slipTick);
  // Of several players one may be told of a little later than another: the earliest slip decides, whenever it is told.
  const before = Math.min(run.stopTick, cutTick ?? run.stopTick);
  return boundary === undefined || boundary >= before ? take : { ...take, cutTick: boundary };
}

/** When the slip came that is one too many; undefined where none has. */
function stoppingSlipMicros({ lines, spared = [], slipsAllowed = 0 }: Take): number | undefined {
  const slips = lines.flatMap((line, i) => {
    const { follower, lastNoteMicros } = hearingOf(line);
    // Of several, one who has not played a note holds up nobody.
    const absent = lines.length > 1 && lastNoteMicros === undefined;
    return absent || spared.includes(i) ? [] : (follower?.slip?.atMicros ?? []);
  });
  return slips.sort((a, b) => a - b)[slipsAllowed];
}

/** Slips that stop the take have been played. */
export function hasSlipped(take: Take): boolean {
  return !take.unstopped && (take.cutTick !== undefined || stoppingSlipMicros(take) !== undefined);
}

/** Entered straight from the landing before, without a lead-in. */
export function isJoined(take: Take): boolean {
  return take.lines.some(({ terms }) => terms.joined === true);
}

/** Clicks are counted before the run. */
export function isCountedIn(take: Take): boolean {
  return !isJoined(take) && take.run.clicks.some(({ tick }) => tick < take.run.startTick);
}

/** Nothing has been played that counts. */
export function isUnbegun(take: Take): boolean {
  return take.lines.every((line) => hearingOf(line).lastNoteMicros === undefined);
}

/** When the run stops by the click; undefined for a free step. */
export function stopMicros(take: Take): number | undefined {
  if (take.run.pulse === 'free') return undefined;
  return tickMicros(take, take.cutTick ?? take.run.stopTick);
}

/** Of a long hold so many beats are listened to before the verdict; what comes later is the player's own affair. */
const LISTEN_MOST_BEATS = 3.5;

/**
 * When the verdict is given; undefined while a free take has not begun. Late enough that whatever is played past the
 * stop is heard, early enough that half a beat is left before the next entry or lead-in.
 */
export function verdictMicros(take: Take): number | undefined {
  const { run } = take;
  const stop = stopMicros(take);
  if (stop === undefined) return freeVerdictMicros(take);
  const beat = beatMicros(run, take.cutTick ?? run.stopTick);
  const listen = Math.min(holdMicros(run) - 0.5 * beat, LISTEN_MOST_BEATS * beat);
  const wait = take.cutTick === undefined ? listen : Math.min(0.5 * beat, listen);
  const lag = Math.max(0, ...take.lines.map(({ terms }) => terms.lagMicros));
  return stop + lag + Math.round(Math.max(SETTLE_LEAST_MICROS, wait));
}

/**
 * A free take is over when all players have come to its end or fallen silent. Who has not begun is waited for as long
 * after the others as a silence lasts; while nobody has begun there is no hurry.
 */
function freeVerdictMicros(take: Take): number | undefined {
  const expected = take.lines.filter(
    (line, i) =>
      line.terms.line.onsets.length > 0 &&
      !(take.spared?.includes(i) === true && hearingOf(line).lastNoteMicros === undefined),
  );
  const ends = expected.flatMap((line) => lineEndMicros(take, line) ?? []);
  if (ends.length === 0) return undefined;
  const wait = ends.length < expected.length ? freeSilenceMicros(take) : 0;
  return Math.max(...ends) + wait;
}

function lineEndMicros(take: Take, line: LineTake): number | undefined {
  const { completeMicros, lastNoteMicros } = hearingOf(line);
  if (completeMicros !== undefined) {
    // A note more would come about as long after the last one as the others did.
    const settle = Math.round(
      Math.max(SETTLE_LEAST_MICROS, beatMicros(take.run, take.run.startTick) / 2, 1.5 * longestMicros(take)),
    );
    return Math.max(completeMicros, lastNoteMicros ?? 0) + settle;
  }
  return lastNoteMicros === undefined ? undefined : lastNoteMicros + freeSilenceMicros(take);
}

/** When the hold is over; undefined as long as the verdict's time is. */
export function endMicros(take: Take): number | undefined {
  const verdict = verdictMicros(take);
  if (verdict === undefined) return undefined;
  return Math.max(verdict, (stopMicros(take) ?? verdict) + holdMicros(take.run));
}

/** The next time at which something becomes true without input. */
export function takeDue(take: Take): number | undefined {
  const deadlines = take.lines.map((line) => hearingOf(line).follower?.nextDeadlineMicros);
  const times = [verdictMicros(take), ...deadlines].filter((time) => time !== undefined);
  return times.length > 0 ? Math.min(...times) : undefined;
}

/** From the stop to the end of the hold, played time. */
export function holdMicros(run: Run): number {
  return microsBetween(run, run.stopTick, run.endTick);
}

function allOnsets({ run, lines }: Take) {
  return onsetsOfAll({ run, lines: lines.map(({ terms }) => terms.line) });
}

function longestMicros(take: Take): number {
  const onsets = allOnsets(take);
  return Math.max(
    0,
    ...onsets.slice(1).map((onset, i) => microsBetween(take.run, onsets[i]!.tick, onset.tick)),
  );
}

function freeSilenceMicros(take: Take): number {
  return Math.max(FREE_SILENCE_LEAST_MICROS, FREE_SILENCE_INTERVALS * longestMicros(take));
}
