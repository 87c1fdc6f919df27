// Putting played notes on the grid: for each beat the likeliest division, duplets, triplets, sixteenths, sextuplets and
// finer ones, given a prior and how evenly the player plays. Three rounds: follow the pace with the rhythm still open
// (pace.ts), fit the player's line (line.ts), read the rhythm as a whole with its certainty (lattice.ts); the last two
// twice. Then the lengths, with rests, from the releases (release.ts).

import { beatTicks, isCompound, type Meter } from '../../music/meter.ts';
import { microsPerTick, type Tempo } from '../../music/tempo.ts';
import { fitLine, type PlayerLine } from './line.ts';
import { followPace, type StrikePlace } from './pace.ts';
import { lengthsOf } from './release.ts';
import { placeBeats, type ReadStrikes, readStrikes } from './rhythm.ts';
import { blipsAmong, type CapturedNote, type StruckChord, strikesOf } from './strike.ts';

export type { CapturedNote } from './strike.ts';

export interface QuantiseSettings {
  readonly tempo: Tempo;
  readonly meter: Meter;
  /** Played time of the first downbeat. */
  readonly zeroMicros: number;
  /** `click`: the player heard one. `free`: the tempo is only about what it was. */
  readonly pulse?: 'click' | 'free';
}

interface QuantisedNote {
  readonly pitch: number;
  readonly durationTicks: number;
  /** Index into the captured notes. */
  readonly captured: number;
}

export interface QuantisedOnset {
  /** From the first downbeat; negative for notes of a pickup. */
  readonly tick: number;
  /** Lowest first. */
  readonly notes: readonly QuantisedNote[];
  /** How probable the place is, 0 to 1, as far as the model of the player goes. */
  readonly certainty: number;
  /** The next likely place, where there is one worth a thought (5 % or more). */
  readonly alternative?: { readonly tick: number; readonly certainty: number };
}

export interface Quantised {
  readonly onsets: readonly QuantisedOnset[];
  /** Constant lag against the click, positive = late. */
  readonly lagMicros: number;
  /** Tempo as played. */
  readonly tempoBpm: number;
  /** Spread of the strikes about their places, the slow wander removed. */
  readonly sdMicros: number;
  /** Captured notes left out as blips: too short to be meant, between two others. */
  readonly blips: readonly number[];
}

/** What is expected of a player before anything is known. */
const PRIOR = {
  click: { lagSdMicros: 45_000, rateSd: 0.01 },
  free: { lagSdMicros: 90_000, rateSd: 0.06 },
} as const;

export function quantise(notes: readonly CapturedNote[], settings: QuantiseSettings): Quantised {
  const { tempo, meter, zeroMicros } = settings;
  const ticksPerBeat = beatTicks(meter);
  const beatMicros = ticksPerBeat * microsPerTick(tempo);
  const compound = isCompound(meter);
  const blips = blipsAmong(notes);
  const strikes = strikesOf(notes, blips).map((s) => ({ ...s, atMicros: s.atMicros - zeroMicros }));
  const at = strikes.map((s) => s.atMicros);
  const { lagSdMicros, rateSd } = PRIOR[settings.pulse ?? 'click'];
  // A steady player: 20 ms at slow tempi, less where the beat itself is short.
  let sdMicros = Math.min(22_000, Math.max(8_000, 0.03 * beatMicros));
  let places: readonly StrikePlace[] = followPace(at, {
    beatMicros,
    compound,
    sdMicros,
    lagSdMicros: Math.min(lagSdMicros, 0.15 * beatMicros),
    rateSd,
    heardClick: settings.pulse !== 'free',
  });
  let line = NO_LINE;
  let read = NOTHING_READ;
  for (let round = 0; round < 3; round++) {
    line = fitLine(
      strikes.map((s, i) => ({
        atMicros: s.atMicros,
        placeMicros: placeBeats(places[i]!) * beatMicros,
        beat: places[i]!.beat,
      })),
      beatMicros,
      { sdMicros, rateSd },
    );
    sdMicros = Math.min(45_000, Math.max(5_000, line.sdMicros));
    read = readStrikes(strikes, notes, line, { beatMicros, compound, sdMicros });
    places = read.places;
  }
  return {
    onsets: onsetsOf(strikes, notes, read, { ticksPerBeat, beatMicros, compound, slower: line.slower }),
    lagMicros: line.lagMicros,
    tempoBpm: tempo.bpm / (1 + line.slower),
    sdMicros: Math.round(line.sdMicros),
    blips: [...blips],
  };
}

const NO_LINE: PlayerLine = { lagMicros: 0, slower: 0, sdMicros: 0, latenessMicros: () => 0 };
const NOTHING_READ: ReadStrikes = { places: [], certainties: [], alternatives: [], divisions: new Map() };

interface OnsetScale {
  readonly ticksPerBeat: number;
  readonly beatMicros: number;
  readonly compound: boolean;
  readonly slower: number;
}

function onsetsOf(
  strikes: readonly StruckChord[],
  notes: readonly CapturedNote[],
  read: ReadStrikes,
  { ticksPerBeat, beatMicros, compound, slower }: OnsetScale,
): QuantisedOnset[] {
  const merged: { tick: number; strikes: number[] }[] = [];
  strikes.forEach((_, i) => {
    const tick = Math.round(placeBeats(read.places[i]!) * ticksPerBeat);
    const last = merged.at(-1);
    if (last?.tick === tick) last.strikes.push(i);
    else merged.push({ tick, strikes: [i] });
  });
  const ticksPerMicro = ticksPerBeat / (beatMicros * (1 + slower));
  const heldTicks = ({ onMicros, offMicros }: CapturedNote) =>
    offMicros === undefined ? undefined : (offMicros - onMicros) * ticksPerMicro;
  const lengths = lengthsOf(
    merged.map(({ tick, strikes: of }) => ({
      tick,
      notes: of.flatMap((s) =>
        strikes[s]!.notes.map((index) => ({ index, heldTicks: heldTicks(notes[index]!) })),
      ),
    })),
    { ticksPerBeat, compound, divisions: read.divisions },
  );
  return merged.map(({ tick, strikes: of }, i) => {
    const least = of.reduce((a, b) => (read.certainties[b]! < read.certainties[a]! ? b : a));
    const [beats, certainty] = read.alternatives[least] ?? [];
    return {
      tick,
      notes: lengths[i]!.map(({ index, durationTicks }) => ({
        pitch: notes[index]!.pitch,
        durationTicks,
        captured: index,
      })).sort((a, b) => a.pitch - b.pitch),
      certainty: read.certainties[least]!,
      ...(beats === undefined || certainty === undefined
        ? {}
        : { alternative: { tick: Math.round(beats * ticksPerBeat), certainty } }),
    };
  });
}
