// One take on its way: when its lead-in, its run, its stop and its verdict are, and what each player has played so far.
// Times of a step with a click are fixed when the take is planned; those of a free step follow the player.

import { type Line, onsetsOfAll, type Run, type Step } from '../drills/step.ts';
import { align } from '../matching/align.ts';
import type { Expectation } from '../matching/expectation.ts';
import { type Follower, follow, passTime, release, startFollowing } from '../matching/follow.ts';
import type { PlayedNote } from '../music/played-note.ts';
import type { PlayerEvent } from '../music/player-event.ts';
import { microsToTicks, ticksToMicros } from '../music/tempo.ts';
import { judge } from '../take/judge.ts';
import { pedalChanges } from '../take/pedal.ts';
import type { Tolerance } from '../take/tolerance.ts';
import type { TakeVerdict } from '../take/verdict.ts';
import type { PlayerId } from './event.ts';

/** Least time between the stop and the verdict, so that a note on the stop has arrived. */
const SETTLE_LEAST_MICROS = 150_000;
/** A free take ends when nothing has come for this many asked intervals, and never before a second and a half. */
const FREE_SILENCE_INTERVALS = 3;
const FREE_SILENCE_LEAST_MICROS = 1_500_000;

export interface PlayerTake {
  readonly player: PlayerId;
  readonly line: Line;
  readonly follower: Follower;
  /** All that came since the last verdict, judged or not. */
  readonly events: readonly PlayerEvent[];
  /** Notes after the last onset was complete. */
  readonly ranOn: number;
  readonly lastNoteMicros?: number;
  readonly completeMicros?: number;
}

export interface Take {
  readonly step: Step;
  readonly attempt: number;
  /** Played time of the step's tick 0; for a free step the earliest time of its first note. */
  readonly zeroMicros: number;
  /** Known constant lag of the player's set-up, positive = late: the player is expected so much after the click. */
  readonly lagMicros: number;
  /** First click of the lead-in, or the entry where there is none. */
  readonly beginMicros: number;
  /** Slips do not stop it (a survey). */
  readonly unstopped: boolean;
  /** From here on notes count. */
  readonly opensMicros: number;
  /** Where the run stops after a slip: a beat boundary before the step's own stop. */
  readonly cutTick?: number;
  readonly players: readonly PlayerTake[];
}

/** How a take is entered: after its own lead-in, which begins at `fromMicros`, or straight from the landing. */
export type Entrance =
  | { readonly kind: 'lead-in'; readonly fromMicros: number }
  | { readonly kind: 'join'; readonly atMicros: number };

/** Played time of a tick of the take's step. */
export function tickMicros(take: Pick<Take, 'step' | 'zeroMicros'>, tick: number): number {
  return take.zeroMicros + ticksToMicros(tick, take.step.run.tempo);
}

export function beatMicros(step: Step): number {
  return ticksToMicros(step.run.tempo.beatTicks, step.run.tempo);
}

export function planTake(
  step: Step,
  entry: Entrance,
  options: {
    readonly attempt: number;
    readonly players: readonly PlayerId[];
    readonly unstopped?: boolean;
    readonly lagMicros?: number;
  },
): Take {
  const lagMicros = step.run.pulse === 'click' ? (options.lagMicros ?? 0) : 0;
  const micros = (tick: number) => ticksToMicros(tick, step.run.tempo);
  const firstClick = Math.min(step.run.startTick, step.run.clicks[0]?.tick ?? step.run.startTick);
  const zeroMicros =
    entry.kind === 'join'
      ? entry.atMicros - micros(step.run.startTick)
      : entry.fromMicros - micros(firstClick);
  const firstOnset = zeroMicros + micros(onsetsOfAll(step)[0]!.tick);
  const beginMicros = entry.kind === 'join' ? entry.atMicros : entry.fromMicros;
  return {
    step,
    attempt: options.attempt,
    unstopped: options.unstopped ?? false,
    zeroMicros,
    lagMicros,
    beginMicros,
    // Half a beat: sooner than that is not an entry but a note too many.
    opensMicros: Math.round(firstOnset + lagMicros - beatMicros(step) / 2),
    players: options.players.map((player, i) => ({
      player,
      line: step.lines[i]!,
      follower: startFollowing(expectationOf(step.run, step.lines[i]!, zeroMicros + lagMicros)),
      events: [],
      ranOn: 0,
    })),
  };
}

function expectationOf({ tempo, pulse }: Run, { onsets }: Line, zeroMicros: number): Expectation {
  const expectation = { onsets, tempo, pulse };
  return pulse === 'click' ? { ...expectation, zeroMicros } : expectation;
}

/** The clicks of a take. A joined take has no lead-in: the landing's click goes on into it. */
export function takeClicks(
  take: Take,
  joined: boolean,
): { atMicros: number; accent: 'bar' | 'beat' | 'division' }[] {
  const { step } = take;
  const end = endMicros(take);
  return step.run.clicks
    .filter((click) => !joined || click.tick >= step.run.startTick)
    .map((click) => ({
      atMicros: tickMicros(take, click.tick),
      accent: click.accent,
    }))
    .filter((click) => end === undefined || click.atMicros < end);
}

export function takeNote(take: Take, player: PlayerId, event: PlayerEvent): Take {
  return updatePlayer(take, player, (one) => {
    const kept = { ...one, events: [...one.events, event] };
    if (event.type === 'note-off') return { ...kept, follower: release(one.follower, event.pitch, event.at) };
    if (event.type !== 'note-on' || event.at < take.opensMicros) return kept;
    if (one.follower.complete) return { ...kept, lastNoteMicros: event.at, ranOn: one.ranOn + 1 };
    const note: PlayedNote = { pitch: event.pitch, onMicros: event.at, velocity: event.velocity };
    return settled({ ...kept, lastNoteMicros: event.at, follower: follow(one.follower, note) }, event.at);
  });
}

/** An event that is kept in the record and not judged. */
export function keepEvent(take: Take, player: PlayerId, event: PlayerEvent): Take {
  return updatePlayer(take, player, (one) => ({ ...one, events: [...one.events, event] }));
}

/** The clock has reached `at`: notes that can no longer come are missed. */
export function takeTime(take: Take, at: number): Take {
  if (at < take.opensMicros) return take;
  return {
    ...take,
    players: take.players.map((one) => settled({ ...one, follower: passTime(one.follower, at) }, at)),
  };
}

/** After a slip the run goes on to the next beat boundary and stops there. */
export function cutAfterSlip(take: Take): Take {
  if (take.step.run.pulse === 'free' || take.cutTick !== undefined || take.unstopped) return take;
  const slips = take.players.flatMap((one) => (one.follower.slip ? [one.follower.slip.atMicros] : []));
  if (slips.length === 0) return take;
  const slipTick = microsToTicks(Math.min(...slips) - take.zeroMicros, take.step.run.tempo);
  const boundary = take.step.run.beats.find((tick) => tick > slipTick);
  return boundary === undefined || boundary >= take.step.run.stopTick ? take : { ...take, cutTick: boundary };
}

/** Any player has slipped, and that stops the take. */
export function hasSlipped(take: Take): boolean {
  return !take.unstopped && take.players.some((one) => one.follower.slip !== undefined);
}

/** When the run stops by the click; undefined for a free step. */
export function stopMicros(take: Take): number | undefined {
  if (take.step.run.pulse === 'free') return undefined;
  return tickMicros(take, take.cutTick ?? take.step.run.stopTick);
}

/**
 * When the verdict is given; undefined while a free take has not begun. Late enough that a player who runs on past the
 * landing is caught (the landing's own notated length, at most a beat), early enough that half a beat of the hold is left.
 */
export function verdictMicros(take: Take): number | undefined {
  const beat = beatMicros(take.step);
  const stop = stopMicros(take);
  if (stop !== undefined) {
    const wait =
      take.step.run.landing && take.cutTick === undefined
        ? landingMicros(take.step) + 0.15 * beat
        : 0.5 * beat;
    const most = take.step.run.holdBeats > 0 ? holdMicros(take.step) - 0.5 * beat : wait;
    return (
      stop + Math.max(0, take.lagMicros) + Math.round(Math.max(SETTLE_LEAST_MICROS, Math.min(wait, most)))
    );
  }
  const times = take.players.map((one) => {
    if (one.completeMicros !== undefined)
      return (
        Math.max(one.completeMicros, one.lastNoteMicros ?? 0) +
        Math.max(SETTLE_LEAST_MICROS, Math.round(beat / 2))
      );
    return one.lastNoteMicros === undefined ? undefined : one.lastNoteMicros + freeSilenceMicros(take.step);
  });
  return times.some((time) => time === undefined) ? undefined : Math.max(...(times as number[]));
}

/** When the hold is over; undefined as long as the verdict's time is. */
export function endMicros(take: Take): number | undefined {
  const from = stopMicros(take) ?? verdictMicros(take);
  const verdict = verdictMicros(take);
  if (from === undefined || verdict === undefined) return undefined;
  return Math.max(verdict, from + holdMicros(take.step));
}

/** The next time at which something becomes true without input. */
export function takeDue(take: Take): number | undefined {
  const times = [verdictMicros(take), ...take.players.map((one) => one.follower.nextDeadlineMicros)].filter(
    (time) => time !== undefined,
  );
  return times.length > 0 ? Math.min(...times) : undefined;
}

/** What each player's take was. After a slip only what lies before the stop is judged. */
export function judgeTake(take: Take, player: PlayerTake, tolerance: Tolerance): TakeVerdict {
  const whole = player.follower.expectation;
  const expectation = hasSlipped(take)
    ? { ...whole, onsets: whole.onsets.slice(0, reached(take, player) + 1) }
    : whole;
  const { played } = player.follower;
  return judge(expectation, played, align(expectation, played), {
    tolerance,
    ranOn: player.ranOn,
    pedal: pedalChanges(player.events),
  });
}

/** Index of the last onset that was tried before the stop: a player who stops at the slip has not missed the rest. */
function reached(take: Take, { line, follower }: PlayerTake): number {
  const stopTick = take.cutTick ?? take.step.run.stopTick;
  const tried = follower.committed.flatMap((verdict) =>
    verdict?.played !== undefined ? [verdict.onset] : [],
  );
  const last = Math.max(0, follower.slip?.onset ?? 0, ...tried);
  return Math.min(
    last,
    Math.max(
      0,
      line.onsets.findLastIndex((onset) => onset.tick <= stopTick),
    ),
  );
}

function holdMicros(step: Step): number {
  return ticksToMicros(step.run.endTick - step.run.stopTick, step.run.tempo);
}

function settled(one: PlayerTake, at: number): PlayerTake {
  return one.follower.complete && one.completeMicros === undefined ? { ...one, completeMicros: at } : one;
}

function landingMicros(step: Step): number {
  return Math.min(beatMicros(step), ticksToMicros(onsetsOfAll(step).at(-1)!.durationTicks, step.run.tempo));
}

function freeSilenceMicros(step: Step): number {
  const onsets = onsetsOfAll(step);
  const ticks = onsets.slice(1).map((onset, i) => onset.tick - onsets[i]!.tick);
  const longest = Math.max(0, ...ticks);
  return Math.max(FREE_SILENCE_LEAST_MICROS, FREE_SILENCE_INTERVALS * ticksToMicros(longest, step.run.tempo));
}

function updatePlayer(take: Take, player: PlayerId, change: (one: PlayerTake) => PlayerTake): Take {
  return { ...take, players: take.players.map((one) => (one.player === player ? change(one) : one)) };
}
