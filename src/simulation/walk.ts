// The walk through the onsets: when each is struck and what goes wrong on the way. Wing & Kristofferson 1973
// (Percept Psychophys 14:5): a timekeeper's intervals C_j and motor delays D_j give played intervals
// I_j = C_j + D_{j+1} - D_j, so var(I) = var(C) + 2 var(D) and lag-1 autocovariance -var(D). With a click, first-order
// linear phase correction (Vorberg & Wing 1996): each onset's asynchrony is partly made good in the next interval.

import { microsPerTick } from '../music/tempo.ts';
import { addedNotes, strikeNotes } from './added-notes.ts';
import { drawTrip, type ModelOnset, type ModelSlip, type Trip } from './slip.ts';
import type { Stroke } from './stroke.ts';
import type { WalkSettings } from './walk-settings.ts';

/** No correction is larger than this share of an interval: nobody jumps back onto the click in one note. */
const LARGEST_CORRECTION = 0.06;

export interface InjectedSlip {
  /** Index of the onset it happened at (or came before). */
  readonly onset: number;
  readonly slip: ModelSlip;
  readonly planted: boolean;
}

/** An interval whose length was bent by a planted snag, in the try that counts. */
export interface BentInterval {
  /** Index of the onset where it begins. */
  readonly from: number;
  /** Share of the interval, positive = too long. */
  readonly share: number;
}

export interface Walk {
  readonly strokes: readonly Stroke[];
  readonly slips: readonly InjectedSlip[];
  readonly bent: readonly BentInterval[];
}

/** No more than so many times does a player go back in one take. */
const MOST_RESTARTS = 2;

export function walk(settings: WalkSettings): Walk {
  const { onsets, profile, random, click } = settings;
  const perTick = microsPerTick(settings.tempo) / (click ? 1 : profile.freePace);
  const beatMicros = settings.tempo.beatTicks * perTick;
  const firstTick = onsets[0]!.tick;
  // Entering freely, the player begins when ready; with a click, at the written place.
  const origin = click
    ? settings.zeroMicros
    : settings.zeroMicros - firstTick * perTick + (profile.motorSdMicros > 0 ? beatMicros : 0);
  const trips = drawTrips(settings, perTick);

  let strokes: Stroke[] = [];
  const slips: InjectedSlip[] = [];
  let bent: BentInterval[] = [];
  /** How far the player's place in the music has moved on the grid, after going back. */
  let shift = 0;
  let restarts = 0;
  let clockMicros = origin + firstTick * perTick + profile.lagMicros;
  for (let j = 0; j < onsets.length; j++) {
    const onset = onsets[j]!;
    const trip = trips[j];
    trips[j] = undefined;
    const slip = trip?.slip;
    if (slip?.kind === 'hesitation') clockMicros += slip.lengths * intervalBefore(onsets, j, perTick);
    if (slip) slips.push({ onset: j, slip, planted: trip.planted !== undefined });
    if (trip?.planted) bent.push({ from: j - 1, share: trip.bias });

    const atMicros = clockMicros + random.normal(0, profile.motorSdMicros);
    const goesBack = slip?.kind === 'restart' && restarts < MOST_RESTARTS;
    if (goesBack) {
      restarts++;
      const back = j - slip.back;
      if (slip.afterWrong) strokes.push(strikeNotes(settings, j, atMicros, slip));
      strokes = strokes.map((stroke) => (stroke.onset >= back ? givenUp(stroke) : stroke));
      bent = bent.filter((interval) => interval.from < back - 1);
      const ready = atMicros + beatMicros * random.between(0.6, 1.4);
      const place = origin + onsets[back]!.tick * perTick + profile.lagMicros + shift;
      // Back in on a beat of the click, or as soon as ready without one.
      const later = click ? Math.ceil((ready - place) / beatMicros) * beatMicros : ready - place;
      shift += later;
      clockMicros = place + later;
      j = back - 1;
      continue;
    }
    strokes.push(...addedNotes(settings, j, atMicros, slip, strokes.at(-1)));
    const struck = strikeNotes(settings, j, atMicros, slip);
    if (struck.notes.length > 0) strokes.push(struck);
    const next = onsets[j + 1];
    if (!next) break;
    const interval = (next.tick - onset.tick) * perTick;
    const bias = profile.bias + (trips[j + 1]?.bias ?? 0);
    const timekeeper = interval * (1 + bias) + random.normal(0, profile.clockShare * interval);
    let correction = 0;
    if (click) {
      const asynchrony = atMicros - (origin + onset.tick * perTick + shift + profile.lagMicros);
      const share = 1 - (1 - profile.correction) ** (interval / beatMicros);
      const most = LARGEST_CORRECTION * interval;
      correction = Math.max(-most, Math.min(most, share * asynchrony));
    }
    clockMicros += Math.max(0.1 * interval, timekeeper - correction);
  }
  return { strokes, slips, bent };
}

/** Drawn for all onsets beforehand, so that the timing of one does not change the luck of the next. */
function drawTrips(settings: WalkSettings, perTick: number): (Trip | undefined)[] {
  const { onsets, profile, random } = settings;
  return onsets.map((to, index) => {
    const from = onsets[index - 1];
    if (!from) return undefined;
    const number = from.number ?? index;
    // In drills that turn back, an interval that the passage does not have is not its snag.
    const planted =
      (to.number ?? index + 1) === number + 1
        ? settings.snags.find((snag) => snag.onset === number)
        : undefined;
    const intervalMicros = (to.tick - from.tick) * perTick;
    const timesPlayed = settings.timesPlayed(number);
    return drawTrip(
      { from, to, index, intervalMicros, wind: settings.wind, timesPlayed, planted },
      profile,
      random,
    );
  });
}

function intervalBefore(onsets: readonly ModelOnset[], index: number, perTick: number): number {
  return (onsets[index]!.tick - onsets[index - 1]!.tick) * perTick;
}

function givenUp(stroke: Stroke): Stroke {
  return { ...stroke, notes: stroke.notes.map((note) => ({ ...note, kind: 'restart' })) };
}
