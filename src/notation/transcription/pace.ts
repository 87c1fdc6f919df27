// Where the beats are: the player's lag and pace followed through the take, while the rhythm is still unknown. The
// likeliest paths through the rhythms of the beats are kept, each with a Kalman filter for the phase (where the beat is
// felt against the click) and the rate (faster or slower than asked), after Cemgil & Kappen 2003, "Monte Carlo methods
// for tempo tracking and rhythm quantization", JAIR 18:45-81. Several lags are tried at once because the filter begins
// with a wide phase.

import { type BeatRhythm, type BeatScale, rhythmsOfBeat } from './beat.ts';

export interface PaceSettings {
  /** Beats' length at the asked tempo. */
  readonly beatMicros: number;
  readonly compound: boolean;
  /** Spread of one strike about its place. */
  readonly sdMicros: number;
  /** How far the first beat may be from zero, and the pace from the one asked (share), one standard deviation each. */
  readonly lagSdMicros: number;
  readonly rateSd: number;
  /** Whether the player heard a click, and so cannot stray from it for good. */
  readonly heardClick: boolean;
}

/** A strike's place: whole beats from zero, and parts of the beat. */
export interface StrikePlace {
  readonly beat: number;
  readonly place: number;
  readonly division: number;
}

interface Path {
  readonly cost: number;
  readonly beat: number;
  /** Next strike to place. */
  readonly next: number;
  readonly carried: boolean;
  readonly family: BeatRhythm['family'];
  /** Phase (microseconds late) at the beat's start, rate (share of the beat), and their covariance. */
  readonly phase: number;
  readonly rate: number;
  readonly pp: number;
  readonly pr: number;
  readonly rr: number;
  readonly rhythm?: BeatRhythm;
  readonly before?: Path;
}

const PATHS_MOST = 10;
/** Wander of the phase and the rate from beat to beat, as shares of the beat. */
const PHASE_WANDER = 0.008;
const RATE_WANDER = 0.001;
/** With a click the phase is held near it: each beat is one weak measurement of it. */
const CLICK_HOLD = 2;
/** From triplets to duplets or back, against staying. */
export const FAMILY_CHANGE_COST = 1.2;
/** Two strikes on one beat's start that are no chord: only where nothing else is left. */
export const COLLISION_COST = 40;

/** The likeliest place of every strike. `strikes` are microseconds from zero, ascending. */
export function followPace(strikes: readonly number[], settings: PaceSettings): StrikePlace[] {
  if (strikes.length === 0) return [];
  const { beatMicros, lagSdMicros, rateSd } = settings;
  let paths: Path[] = [];
  const firstBeat = Math.floor((strikes[0]! - 2 * lagSdMicros) / beatMicros);
  const lags = [0, -0.7, 0.7, -1.4, 1.4, -2.1, 2.1].map((z) => z * lagSdMicros);
  for (const lag of lags) {
    paths.push({
      cost: (lag / lagSdMicros) ** 2 / 2,
      beat: firstBeat,
      next: 0,
      carried: false,
      family: 'none',
      phase: lag,
      rate: 0,
      pp: (lagSdMicros / 2) ** 2,
      pr: 0,
      rr: rateSd ** 2,
    });
  }
  while (paths.some((path) => path.next < strikes.length)) {
    paths = prune(
      paths.flatMap((path) => continued(path, strikes, settings)),
      beatMicros,
    );
  }
  return placesOf(paths[0]!, strikes.length);
}

/** A path with one more step; where it leads to is worked out only when it is among the best. */
interface Continuation {
  readonly cost: number;
  readonly next: number;
  readonly path: () => Path;
}

function continued(from: Path, strikes: readonly number[], settings: PaceSettings): Continuation[] {
  const { beatMicros, compound, sdMicros } = settings;
  let path = from;
  const silent = Math.floor((strikes[path.next]! - path.phase) / beatMicros) - path.beat - 2;
  if (silent > 4) return [alreadyThere(overSilence(path, silent, beatMicros))];
  if (settings.heardClick) path = heldToClick(path, CLICK_HOLD * settings.lagSdMicros);
  const start = path.beat * beatMicros + path.phase;
  const length = beatMicros * (1 + path.rate);
  const offsetsMicros: number[] = [];
  while (path.next + offsetsMicros.length < strikes.length) {
    const offset = strikes[path.next + offsetsMicros.length]! - start;
    if (offset >= length) break;
    // A strike well before this beat can only be one that no earlier beat took: it stands on the beat.
    offsetsMicros.push(Math.max(0, offset));
  }
  const joinable = offsetsMicros.map((offset, i) => i > 0 && offset - offsetsMicros[i - 1]! < 30_000);
  const spread = Math.sqrt(sdMicros ** 2 + path.pp);
  const scale: BeatScale = { beatMicros: length, compound, sdMicros: spread };
  const next = path.next + offsetsMicros.length;
  return rhythmsOfBeat({ offsetsMicros, joinable }, scale).map((rhythm) => {
    const change =
      rhythm.family !== 'none' && path.family !== 'none' && rhythm.family !== path.family
        ? FAMILY_CHANGE_COST
        : 0;
    const cost =
      path.cost +
      rhythm.timingCost +
      (path.carried ? rhythm.rhythmCostCarried : rhythm.rhythmCost) +
      change +
      (path.carried && rhythm.takesStart ? COLLISION_COST : 0);
    const moved = (): Path => ({
      ...updated(path, rhythm, offsetsMicros, settings),
      cost,
      beat: path.beat + 1,
      next,
      carried: rhythm.carries,
      family: rhythm.family === 'none' ? path.family : rhythm.family,
      rhythm,
      before: from,
    });
    return { cost, next, path: moved };
  });
}

function alreadyThere(path: Path): Continuation {
  return { cost: path.cost, next: path.next, path: () => path };
}

function heldToClick(path: Path, sdMicros: number): Path {
  const variance = path.pp + sdMicros ** 2;
  const gain = path.pp / variance;
  return {
    ...path,
    cost: path.cost + path.phase ** 2 / variance / 2,
    phase: path.phase * (1 - gain),
    rate: path.rate - (path.pr / variance) * path.phase,
    pp: path.pp * (1 - gain),
    pr: path.pr * (1 - gain),
    rr: path.rr - path.pr ** 2 / variance,
  };
}

/** Over beats in which nothing is struck, at one go. */
function overSilence(path: Path, beats: number, beatMicros: number): Path {
  const length = beats * beatMicros;
  return {
    ...path,
    beat: path.beat + beats,
    carried: false,
    phase: path.phase + length * path.rate,
    pp: path.pp + 2 * length * path.pr + length * length * path.rr + beats * (PHASE_WANDER * beatMicros) ** 2,
    pr: path.pr + length * path.rr,
    rr: path.rr + beats * RATE_WANDER ** 2,
  };
}

/** The filter over one beat: one measurement for each strike, then the step to the next beat. */
function updated(
  path: Path,
  rhythm: BeatRhythm,
  offsetsMicros: readonly number[],
  { beatMicros, sdMicros }: PaceSettings,
): Pick<Path, 'phase' | 'rate' | 'pp' | 'pr' | 'rr'> {
  let { phase, rate, pp, pr, rr } = path;
  const start = path.phase;
  offsetsMicros.forEach((offset, i) => {
    const at = (rhythm.places[i]! / Math.max(1, rhythm.division)) * beatMicros;
    // Measured: how late the strike is against its place at the asked tempo = phase + rate * at.
    const measured = offset + start - at;
    const predicted = phase + rate * at;
    const h = at;
    const variance = pp + 2 * h * pr + h * h * rr + sdMicros ** 2;
    const gainPhase = (pp + h * pr) / variance;
    const gainRate = (pr + h * rr) / variance;
    // A strike far off is believed less: the innovation is cut at three spreads.
    const limit = 3 * Math.sqrt(variance);
    const innovation = Math.max(-limit, Math.min(limit, measured - predicted));
    phase += gainPhase * innovation;
    rate += gainRate * innovation;
    const [oldPp, oldPr, oldRr] = [pp, pr, rr];
    pp = oldPp - gainPhase * (oldPp + h * oldPr);
    pr = oldPr - gainPhase * (oldPr + h * oldRr);
    rr = oldRr - gainRate * (oldPr + h * oldRr);
  });
  const b = beatMicros;
  return {
    phase: phase + b * rate,
    rate,
    pp: pp + 2 * b * pr + b * b * rr + (PHASE_WANDER * b) ** 2,
    pr: pr + b * rr,
    rr: rr + RATE_WANDER ** 2,
  };
}

/** The likeliest paths; of those that agree on where the beat is now, only the best is of use. */
function prune(continuations: Continuation[], beatMicros: number): Path[] {
  continuations.sort((a, b) => a.cost - b.cost || b.next - a.next);
  const kept: Path[] = [];
  for (const continuation of continuations) {
    const path = continuation.path();
    const same = kept.some(
      (k) =>
        k.beat === path.beat &&
        k.next === path.next &&
        k.carried === path.carried &&
        k.family === path.family &&
        Math.abs(k.phase - path.phase) < 0.01 * beatMicros &&
        Math.abs(k.rate - path.rate) < 0.01,
    );
    if (!same) kept.push(path);
    if (kept.length === PATHS_MOST) break;
  }
  return kept;
}

function placesOf(path: Path, count: number): StrikePlace[] {
  const places = new Array<StrikePlace>(count);
  for (let at: Path | undefined = path; at?.rhythm; at = at.before) {
    const { rhythm } = at;
    const first: number = at.before!.next;
    rhythm.places.forEach((place, i) => {
      const division = Math.max(1, rhythm.division);
      places[first + i] =
        place >= division
          ? { beat: at!.before!.beat + 1, place: 0, division: 1 }
          : { beat: at!.before!.beat, place, division };
    });
  }
  return places;
}
