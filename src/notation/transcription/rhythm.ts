// From strikes and the player's line to the rhythm: which beat each strike lies in, the rhythms of every beat, the
// likeliest whole, and how sure each place is.

import { type BeatRhythm, rhythmsOfBeat } from './beat.ts';
import { chooseRhythms, type LatticeBeat, type LatticeChoice } from './lattice.ts';
import type { PlayerLine } from './line.ts';
import type { StrikePlace } from './pace.ts';
import { type CapturedNote, canBeOneChord, type StruckChord } from './strike.ts';

/** How much one more time of the same rhythm elsewhere counts, and the most it can. */
const RECURRENCE = 0.6;
const MOST_RECURRENCE = 2;

export interface ReadStrikes {
  readonly places: StrikePlace[];
  readonly certainties: number[];
  readonly alternatives: (readonly [beats: number, certainty: number] | undefined)[];
  /** By beat: into how many parts it was read. */
  readonly divisions: ReadonlyMap<number, number>;
}

/** The whole rhythm, with the beats where the line says they are. */
export function readStrikes(
  strikes: readonly StruckChord[],
  notes: readonly CapturedNote[],
  line: PlayerLine,
  scale: { beatMicros: number; compound: boolean; sdMicros: number },
): ReadStrikes {
  const groups = new Map<number, { first: number; offsetsMicros: number[]; joinable: boolean[] }>();
  let least = Number.NEGATIVE_INFINITY;
  strikes.forEach((strike, i) => {
    const beat = Math.max(least, beatOf(strike.atMicros, line, scale.beatMicros));
    least = beat;
    const group = groups.get(beat) ?? { first: i, offsetsMicros: [], joinable: [] };
    groups.set(beat, group);
    const offset = strike.atMicros - beat * scale.beatMicros - line.latenessMicros(beat);
    group.offsetsMicros.push(Math.max(0, Math.min(offset, scale.beatMicros - 1)));
    group.joinable.push(i > 0 && canBeOneChord(notes, strikes[i - 1]!, strike));
  });
  const beats = [...groups].map(([beat, group]) => ({ beat, group, rhythms: rhythmsOfBeat(group, scale) }));
  const choice = chooseTwice(beats);
  const divisions = new Map<number, number>();
  const read: ReadStrikes = { places: [], certainties: [], alternatives: [], divisions };
  beats.forEach(({ beat, group, rhythms }, b) => {
    const chosen = choice.rhythms[b]!;
    divisions.set(beat, Math.max(1, chosen.division));
    group.offsetsMicros.forEach((_, i) => {
      const place = placeIn(beat, chosen, i);
      const sure = new Map<number, number>();
      rhythms.forEach((rhythm, r) => {
        const beats = placeBeats(placeIn(beat, rhythm, i));
        sure.set(beats, (sure.get(beats) ?? 0) + choice.probabilities[b]![r]!);
      });
      const own = placeBeats(place);
      const other = [...sure].filter(([beats]) => beats !== own).sort((x, y) => y[1] - x[1])[0];
      read.places[group.first + i] = place;
      read.certainties[group.first + i] = Math.min(1, sure.get(own) ?? 0);
      read.alternatives[group.first + i] = other && other[1] >= 0.05 ? other : undefined;
    });
  });
  return read;
}

/**
 * A rhythm that the take has elsewhere is likelier here too: read once, count each rhythm as far as it is sure, and
 * read again with the costs lowered by the count, the beat's own share left out.
 */
function chooseTwice(beats: readonly LatticeBeat[]): LatticeChoice {
  const first = chooseRhythms(beats);
  const counts = new Map<string, number>();
  beats.forEach(({ rhythms }, b) => {
    rhythms.forEach((rhythm, r) => {
      const name = rhythmName(rhythm);
      counts.set(name, (counts.get(name) ?? 0) + first.probabilities[b]![r]!);
    });
  });
  const weighed = beats.map(({ beat, rhythms }, b) => ({
    beat,
    rhythms: rhythms.map((rhythm, r) => {
      const elsewhere = (counts.get(rhythmName(rhythm)) ?? 0) - first.probabilities[b]![r]!;
      const bonus = Math.min(MOST_RECURRENCE, RECURRENCE * Math.log1p(Math.max(0, elsewhere)));
      return {
        ...rhythm,
        rhythmCost: rhythm.rhythmCost - bonus,
        rhythmCostCarried: rhythm.rhythmCostCarried - bonus,
      };
    }),
  }));
  return chooseRhythms(weighed);
}

function rhythmName(rhythm: BeatRhythm): string {
  return `${rhythm.division}: ${rhythm.places.join(' ')}`;
}

function placeIn(beat: number, rhythm: BeatRhythm, strike: number): StrikePlace {
  const division = Math.max(1, rhythm.division);
  const place = rhythm.places[strike]!;
  return place >= division ? { beat: beat + 1, place: 0, division: 1 } : { beat, place, division };
}

/** The beat in which a strike lies once the player's lateness there is taken off. */
function beatOf(atMicros: number, line: PlayerLine, beatMicros: number): number {
  let beat = Math.floor((atMicros - line.lagMicros) / (beatMicros * (1 + line.slower)));
  while (atMicros < beat * beatMicros + line.latenessMicros(beat)) beat--;
  while (atMicros >= (beat + 1) * beatMicros + line.latenessMicros(beat + 1)) beat++;
  return beat;
}

export function placeBeats(place: StrikePlace): number {
  return place.beat + place.place / place.division;
}
