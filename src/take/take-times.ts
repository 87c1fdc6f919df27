// When a take's run stops, when its verdict is given and when its hold is over. Times of a step with a click are fixed when
// the take is planned; those of a free step follow the players.

import { type ClickAccent, onsetsOfAll, type Run } from '../drills/step.ts';
import { microsAt, microsBetween } from '../music/timing.ts';
import { hearingOf, type LineTake, type Take } from './take.ts';

/** Least time between the stop and the verdict, so that a note on the stop has arrived. */
const SETTLE_LEAST_MICROS = 150_000;
/**
 * A free take ends when nothing has come for this many asked intervals, and never before a note that is late would be
 * taken for missed (matching/deadline.ts): who thinks for a moment, or has struck only the first note, has not stopped.
 */
const FREE_SILENCE_INTERVALS = 5;
const FREE_SILENCE_LEAST_MICROS = 3_000_000;

/** Played time of a tick of the take's run. */
export function tickMicros({ zeroMicros, run }: Pick<Take, 'run' | 'zeroMicros'>, tick: number): number {
  return zeroMicros + microsAt(run, tick);
}

/** A beat of the tempo where a tick is. */
function beatMicros(run: Run, tick: number): number {
  return microsBetween(run, tick, tick + run.tempo.beatTicks);
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
