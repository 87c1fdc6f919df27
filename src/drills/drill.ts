// A drill: a way of working a span; a pure function from a span and settings to steps. One file each, listed in
// catalogue.ts.

import type { Span } from '../music/span.ts';
import type { Tempo } from '../music/tempo.ts';
import type { Result } from '../problem.ts';
import type { Step } from './step.ts';

/** What a drill may be told. Every drill ignores what it has no use for. */
export interface DrillSettings {
  readonly tempo: Tempo;
  /** Landings: beats a run; 0.5, 1, 2, 4, 'group', 'bar' or 'growing'. */
  readonly every?: number | 'group' | 'bar' | 'growing';
  /** Beats a landing is held, 1 or more; or a bar. */
  readonly hold?: number | 'bar';
  /** Number of the onset where the snag begins; several for several snags. */
  readonly snags?: readonly number[];
  /** Switchback: the length of its equal notes; absent: the span's commonest. */
  readonly noteTicks?: number;
  /** Free-form variant switches of single drills, documented by each ('from-last', 'retrograde', 'inversion', ...). */
  readonly variants?: readonly string[];
  /** Seed for anything drawn at random, an integer. */
  readonly seed?: number;
  /** The drills that are worked one after the other, this one among them; absent where it is the only one. */
  readonly row?: readonly string[];
}

export interface Drill {
  /** One plain word, as on the command line. */
  readonly name: string;
  /** Two sentences: what it is, what it is for. */
  readonly explanation: string;
  /** Variants it understands, with a few words each. */
  readonly variants: Readonly<Record<string, string>>;
  /** Plain words for those variants whose names are terms of the trade. */
  readonly plainVariants?: Readonly<Record<string, string>>;
  makeSteps(span: Span, settings: DrillSettings): Result<readonly Step[]>;
}
