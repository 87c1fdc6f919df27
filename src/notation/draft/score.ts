// A score as printed: bars in page order, repeats not yet played out, ties not yet joined. The ABC and the MusicXML
// reader both make one; passage-builder.ts turns it into a passage.

import type { InstrumentName } from '../../music/instrument.ts';
import type { Meter } from '../../music/meter.ts';
import type { Articulation, Ornament } from '../../music/onset.ts';
import type { Mode } from '../../music/passage.ts';
import type { Pitch, Spelling } from '../../music/pitch.ts';
import type { Tempo } from '../../music/tempo.ts';
import type { FilePlace } from '../reading.ts';
import type { BarRoute } from './playing-order.ts';

/** More parts than an orchestra's score has; a damaged file can have thousands. */
export const MOST_PARTS = 256;

export interface DraftNote {
  /** Ticks from the start of its bar. */
  readonly offset: number;
  /** Notated length before ties are joined; 0 for a grace note. */
  durationTicks: number;
  /** Sounding. */
  readonly pitch: Pitch;
  readonly spelling: Spelling;
  readonly part: number;
  readonly staff: number;
  /** Any number that tells the voices of a part apart; voices are renumbered from 1 by staff, then by this. */
  readonly voice: number;
  ornament?: Ornament;
  articulations?: readonly Articulation[];
  slurred?: boolean;
  /** Tied to the next note of its pitch. */
  tied?: boolean;
  readonly place?: FilePlace;
}

export interface DraftBar {
  /** As printed; absent: counted by the builder (a pickup is 0, the tail of a split bar keeps its head's number). */
  number?: number;
  meter: Meter;
  /** Real length: the longest voice. 0: a whole bar of rest. */
  durationTicks: number;
  readonly notes: DraftNote[];
  readonly keys: { readonly offset: number; readonly fifths: number; readonly mode: Mode }[];
  readonly tempos: { readonly offset: number; readonly tempo: Tempo }[];
  readonly marks: { readonly offset: number; readonly text: string }[];
  route: BarRoute;
  /** Marked as irregular, or in free meter: its length is not checked. */
  irregular: boolean;
  /** A bar line other than a single thin one stands at its end: there a bar may be short. */
  sectionEnd: boolean;
  /** Says outright whether it is the tail of a bar; absent: found from the lengths. */
  pickup?: boolean;
  place?: FilePlace;
}

export interface DraftScore {
  readonly title: string;
  readonly composer?: string;
  readonly parts: readonly { readonly name: string; readonly instrument: InstrumentName }[];
  readonly bars: readonly DraftBar[];
  /** Order of printed bars where the score says it outright; absent: found from the routes. */
  readonly order?: readonly number[];
}

/** A passage holds fermatas of notes only. */
export const FERMATA_OVER_REST = 'A fermata over a rest is left out: the rest is counted as it is written';

export const FERMATA_OVER_BAR_LINE = 'A fermata over a bar line is left out';

export function emptyBar(meter: Meter, place?: FilePlace): DraftBar {
  return {
    meter,
    durationTicks: 0,
    notes: [],
    keys: [],
    tempos: [],
    marks: [],
    route: {},
    irregular: false,
    sectionEnd: false,
    ...(place && { place }),
  };
}
