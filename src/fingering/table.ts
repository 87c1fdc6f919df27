// The fingerings of one instrument: its family's lines, less those that need keywork it does not have.

import type { InstrumentName } from '../music/instrument.ts';
import { type Pitch, readSpelling, spellingToPitch } from '../music/pitch.ts';
import { CLARINET } from './clarinet.ts';
import type { Digit } from './digit.ts';
import type { Family } from './family.ts';
import type { Fingering, Keywork } from './fingering.ts';
import { FLUTE } from './flute.ts';
import { SAXOPHONE } from './saxophone.ts';

export interface FingeringTable {
  readonly family: Family;
  /** All of them, by index. */
  readonly fingerings: readonly Fingering[];
  /** By written pitch, the standard one first; empty where the table does not reach. */
  readonly ofPitch: ReadonlyMap<Pitch, readonly Fingering[]>;
  /** Which digit works a key. */
  readonly digitOf: ReadonlyMap<string, Digit>;
  /** Written pitches of a set of keys, sorted and joined by spaces. */
  readonly sounding: ReadonlyMap<string, readonly Pitch[]>;
}

interface Member {
  readonly family: Family;
  /** Written pitches that the family's table is right for, inclusive, where that is not all. */
  readonly from?: Pitch;
  readonly to?: Pitch;
}

const MEMBERS: Partial<Readonly<Record<InstrumentName, Member>>> = {
  clarinet: { family: CLARINET },
  'clarinet-a': { family: CLARINET },
  'clarinet-eb': { family: CLARINET },
  // Up to C6: above it a bass clarinet half-holes. Below E3 its keys are not standardised.
  'bass-clarinet': { family: CLARINET, to: 84 },
  'soprano-sax': { family: SAXOPHONE },
  'alto-sax': { family: SAXOPHONE },
  'tenor-sax': { family: SAXOPHONE },
  'baritone-sax': { family: SAXOPHONE },
  flute: { family: FLUTE },
  // No foot, so nothing below D4; its third register is commonly fingered otherwise. From memory.
  piccolo: { family: FLUTE, from: 62, to: 85 },
};

/** Instruments that have a table. */
export const FINGERED: readonly InstrumentName[] = Object.keys(MEMBERS) as InstrumentName[];

/** The family of an instrument, if it has a table. */
export function familyOf(instrument: InstrumentName): Family | undefined {
  return MEMBERS[instrument]?.family;
}

/**
 * The table of an instrument; undefined for one that has none.
 * @param keywork What this one has of the keywork that not all have; as usual where not told.
 */
export function fingeringTable(
  instrument: InstrumentName,
  keywork?: readonly Keywork[],
): FingeringTable | undefined {
  const member = MEMBERS[instrument];
  return member && makeTable(member, keywork ?? member.family.usual);
}

function makeTable({ family, from = 0, to = 127 }: Member, keywork: readonly Keywork[]): FingeringTable {
  const fingerings: Fingering[] = [];
  const ofPitch = new Map<Pitch, Fingering[]>();
  const sounding = new Map<string, Pitch[]>();
  for (const [note, text, name, grade, source, needs] of family.lines) {
    const pitch = spellingToPitch(readSpelling(note)!);
    if (pitch < from || pitch > to || (needs && !keywork.includes(needs))) continue;
    const known = ofPitch.get(pitch) ?? [];
    const keys = text === '' ? [] : text.split(' ');
    const one = {
      pitch,
      keys,
      name,
      grade,
      source,
      veiled: family.veiled.includes(name),
      rank: known.length,
      index: fingerings.length,
    };
    fingerings.push(one);
    ofPitch.set(pitch, [...known, one]);
    const same = sounding.get(keySet(keys)) ?? [];
    sounding.set(keySet(keys), [...same, pitch]);
  }
  return { family, fingerings, ofPitch, digitOf: digitsByKey(family), sounding };
}

/** The same for every order of the keys. */
export function keySet(keys: readonly string[]): string {
  return keys.toSorted().join(' ');
}

function digitsByKey(family: Family): Map<string, Digit> {
  const digits = Object.entries(family.keys) as [Digit, string][];
  return new Map(
    digits.flatMap(([digit, keys]) => keys.split(' ').map((key): [string, Digit] => [key, digit])),
  );
}
