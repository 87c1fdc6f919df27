// A family of instruments that share their fingers through written pitch.

import type { Pitch } from '../music/pitch.ts';
import type { Digit } from './digit.ts';
import type { FingeringName, Keywork, TableLine } from './fingering.ts';

export interface Family {
  readonly name: 'clarinet' | 'saxophone' | 'flute';
  /** Which digit works which keys, parted by spaces. */
  readonly keys: Partial<Readonly<Record<Digit, string>>>;
  /** Pairs of keys that lie so near that the finger rolls from one to the other and does not leave. */
  readonly rolls: readonly (readonly [string, string])[];
  /** Pairs of keys with rollers between them or edge to edge: a slide, but an easy one. */
  readonly rollers: readonly (readonly [string, string])[];
  /** Side, sliver and trill keys, which a finger reaches out for. */
  readonly reached: readonly string[];
  /** Names of fingerings that sound duller than the standard one. */
  readonly veiled: readonly FingeringName[];
  /** The lowest written pitch above each register break. */
  readonly breaks: readonly Pitch[];
  /** Keywork that an instrument has unless it is told otherwise. */
  readonly usual: readonly Keywork[];
  /** Keywork that can be told at all. */
  readonly optional: readonly Keywork[];
  /** The first line of a note is its standard fingering. */
  readonly lines: readonly TableLine[];
}
