// Reads aligned performances (one case a line, gzip) and turns them into our types. The cases are measuring material
// from outside and no part of the project. A plain converter: meter and bars are ignored.

import { readFileSync } from 'node:fs';
import { gunzipSync } from 'node:zlib';
import type { Expectation, ExpectedNote } from '../../src/matching/expectation.ts';
import type { PlayedNote } from '../../src/music/played-note.ts';
import { TICKS_PER_QUARTER } from '../../src/music/ticks.ts';

export interface Case {
  readonly id: string;
  readonly texture: 'mono' | 'poly';
  readonly score: readonly {
    readonly id: string;
    readonly onsetBeats: number;
    readonly durationBeats: number;
    readonly pitch: number;
    readonly grace?: boolean;
    readonly ornament?: boolean;
  }[];
  readonly performance: readonly {
    readonly id: string;
    readonly onsetMs: number;
    readonly offsetMs: number;
    readonly pitch: number;
    readonly velocity: number;
  }[];
  readonly truth: {
    readonly matches: readonly (readonly [scoreId: string, perfId: string])[];
    readonly substitutions: readonly (readonly [scoreId: string, perfId: string, kind: string])[];
    readonly missed: readonly string[];
    readonly extra: readonly string[];
    readonly events?: readonly CaseEvent[];
    readonly alternatives?: Readonly<Record<string, readonly string[]>>;
    readonly grid?: {
      readonly bpm: number;
      readonly jitterSdMs: number;
      readonly devMs: readonly (readonly [scoreId: string, devMs: number])[];
    };
  };
}

export interface CaseEvent {
  readonly kind: string;
  readonly scoreId?: string;
  readonly fromScoreId?: string;
  readonly toScoreId?: string;
  readonly beforeScoreId?: string;
  readonly atScoreId?: string;
  readonly backToScoreId?: string;
  readonly deltaMs?: number;
  readonly firstAttempt?: readonly string[];
  readonly secondAttempt?: readonly string[];
}

export interface ConvertedCase {
  readonly given: Case;
  readonly expectation: Expectation;
  readonly played: readonly PlayedNote[];
  /** Score id of each expected note, by onset and note. */
  readonly scoreIds: readonly (readonly string[])[];
  readonly perfIds: readonly string[];
}

export function readCases(file: string): Case[] {
  const text = gunzipSync(readFileSync(file)).toString('utf8');
  return text
    .split('\n')
    .filter((line) => line.trim() !== '')
    .map((line) => JSON.parse(line) as Case);
}

/** The tempo asked, where the case does not say: a middling one, so that nothing of the take is given away. */
const TEMPO_UNKNOWN_BPM = 90;

export function convert(given: Case, options: { readonly pulse?: 'click' | 'free' } = {}): ConvertedCase {
  const byTick = new Map<number, { note: ExpectedNote; id: string }[]>();
  for (const n of given.score) {
    const tick = Math.round(n.onsetBeats * TICKS_PER_QUARTER);
    const ornament = n.grace
      ? { ornament: 'grace' as const }
      : n.ornament
        ? { ornament: 'trill' as const }
        : {};
    const note = {
      pitch: n.pitch,
      durationTicks: Math.round(n.durationBeats * TICKS_PER_QUARTER),
      ...ornament,
    };
    byTick.set(tick, [...(byTick.get(tick) ?? []), { note, id: n.id }]);
  }
  const rows = [...byTick].sort(([a], [b]) => a - b);
  for (const [, notes] of rows) notes.sort((a, b) => a.note.pitch - b.note.pitch);
  const performance = [...given.performance].sort((a, b) => a.onsetMs - b.onsetMs);
  return {
    given,
    expectation: {
      onsets: rows.map(([tick, notes]) => ({ tick, notes: notes.map(({ note }) => note) })),
      tempo: { bpm: given.truth.grid?.bpm ?? TEMPO_UNKNOWN_BPM, beatTicks: TICKS_PER_QUARTER },
      pulse: options.pulse ?? 'free',
    },
    played: performance.map((p) => ({
      pitch: p.pitch,
      onMicros: Math.round(p.onsetMs * 1000),
      offMicros: Math.round(p.offsetMs * 1000),
      velocity: p.velocity,
    })),
    scoreIds: rows.map(([, notes]) => notes.map(({ id }) => id)),
    perfIds: performance.map((p) => p.id),
  };
}
