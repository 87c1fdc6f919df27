// A verdict as other programs read it (`fettle judge --json`). Times are milliseconds from the recording's start, with
// three decimals; onsets number from 1 as in the passage. Optional ornaments are left out, played or not.

import type { Expectation } from '../matching/expectation.ts';
import type { PlayedNote } from '../music/played-note.ts';
import { playedChords } from './onset-times.ts';
import type { Touch } from './touch.ts';
import type { IntervalVerdict, TakeVerdict, Trouble } from './verdict.ts';

const JUDGEMENT_FORMAT = 1;

export interface JudgementJson {
  readonly format: typeof JUDGEMENT_FORMAT;
  readonly clean: boolean;
  readonly sentence: string;
  readonly notes: readonly {
    readonly onset: number;
    readonly pitch: number;
    readonly verdict: 'right' | 'wrong' | 'missed';
    readonly playedPitch?: number;
    readonly atMs?: number;
  }[];
  readonly extra: readonly {
    readonly pitch: number;
    readonly atMs: number;
    readonly kind: 'extra' | 'blip' | 'restart';
  }[];
  readonly intervals: readonly {
    readonly from: number;
    readonly to: number;
    readonly expectedMs: number;
    readonly playedMs: number;
    readonly deviationMs: number;
    readonly share: number;
    readonly clean: boolean;
  }[];
  /** What kept it from being clean, the weightiest first; `kind` says which, the other fields where and how much. */
  readonly troubles: readonly { readonly kind: string; readonly [field: string]: unknown }[];
  /** Absent where the instrument sends the same for every note. Levels as sent, 0 to 127. */
  readonly touch?: {
    readonly by: 'velocity' | 'breath';
    readonly unevenDb: number;
    readonly uneven: boolean;
    readonly notes: readonly {
      readonly onset: number;
      readonly hand?: string;
      readonly level: number;
      readonly around: number;
      readonly decibels: number;
    }[];
  };
  readonly timing: {
    readonly pace: number;
    readonly spreadMs?: number;
    readonly driftMsPerSecond?: number;
    readonly evennessMs?: number;
    readonly evennessShare?: number;
    readonly clockMs?: number;
    readonly fingersMs?: number;
    readonly chords: readonly { readonly onset: number; readonly spreadMs: number }[];
    readonly hands?: { readonly behind: string; readonly byMs: number; readonly sdMs: number };
    readonly joins: readonly { readonly from: number; readonly to: number; readonly overlapMs: number }[];
  };
}

export interface JudgedTake {
  readonly expectation: Expectation;
  readonly played: readonly PlayedNote[];
  readonly verdict: TakeVerdict;
  readonly sentence: string;
  /** Passage number of the expectation's first onset. */
  readonly firstNumber: number;
}

export function judgementJson({
  expectation,
  played,
  verdict,
  sentence,
  firstNumber,
}: JudgedTake): JudgementJson {
  return {
    format: JUDGEMENT_FORMAT,
    clean: verdict.clean,
    sentence,
    notes: verdict.notes.flatMap(({ onset, note, verdict: kind, played: index }) => {
      const expected = expectation.onsets[onset]!.notes[note]!;
      if (kind === 'omitted' || expected.ornament === 'grace') return [];
      const one = index === undefined ? undefined : played[index]!;
      return [
        {
          onset: firstNumber + onset,
          pitch: expected.pitch,
          verdict: kind,
          ...(one ? { playedPitch: one.pitch, atMs: milliseconds(one.onMicros) } : {}),
        },
      ];
    }),
    extra: verdict.extras.flatMap(({ played: index, kind }) => {
      const one = played[index]!;
      return kind === 'ornament' ? [] : [{ pitch: one.pitch, atMs: milliseconds(one.onMicros), kind }];
    }),
    intervals: verdict.intervals.map((interval) => ({
      from: firstNumber + interval.from,
      to: firstNumber + interval.to,
      expectedMs: milliseconds(interval.expectedMicros),
      playedMs: milliseconds(interval.playedMicros),
      deviationMs: milliseconds(interval.deviationMicros),
      share: fourPlaces(interval.share),
      clean: interval.clean,
    })),
    troubles: verdict.troubles.map((trouble) => troubleJson(trouble, firstNumber)),
    ...(verdict.touch ? { touch: touchJson(verdict.touch, firstNumber) } : {}),
    timing: timingJson(verdict, firstNumber),
  };
}

function touchJson(
  { by, unevenDb, uneven, standing }: Touch,
  firstNumber: number,
): NonNullable<JudgementJson['touch']> {
  const notes = standing.map((note) => ({
    ...note,
    onset: firstNumber + note.onset,
    decibels: tenths(note.decibels),
  }));
  return { by, unevenDb: tenths(unevenDb), uneven, notes };
}

function timingJson(verdict: TakeVerdict, firstNumber: number): JudgementJson['timing'] {
  const { pace, placement, evenness, joints } = verdict;
  return {
    pace: fourPlaces(pace),
    ...(placement && !Number.isNaN(placement.spreadMicros)
      ? {
          spreadMs: milliseconds(placement.spreadMicros),
          driftMsPerSecond: milliseconds(placement.driftMicrosPerSecond),
        }
      : {}),
    ...(evenness
      ? { evennessMs: milliseconds(evenness.sdMicros), evennessShare: fourPlaces(evenness.variation) }
      : {}),
    ...(evenness?.clockSdMicros === undefined || evenness.motorSdMicros === undefined
      ? {}
      : { clockMs: milliseconds(evenness.clockSdMicros), fingersMs: milliseconds(evenness.motorSdMicros) }),
    chords: playedChords(verdict).map(({ onset, spreadMicros }) => ({
      onset: firstNumber + onset,
      spreadMs: milliseconds(spreadMicros),
    })),
    ...(verdict.together
      ? {
          hands: {
            behind: verdict.together.behind,
            byMs: milliseconds(verdict.together.byMicros),
            sdMs: milliseconds(verdict.together.sdMicros),
          },
        }
      : {}),
    joins: joints.map(({ from, overlapMicros }) => ({
      from: firstNumber + from,
      to: firstNumber + from + 1,
      overlapMs: milliseconds(overlapMicros),
    })),
  };
}

/** Onsets as numbers of the passage, microseconds as milliseconds. */
function troubleJson(trouble: Trouble, firstNumber: number): JudgementJson['troubles'][number] {
  const fields = Object.entries(trouble).flatMap(([name, value]): [string, unknown][] => {
    if (name === 'interval') {
      const { from, to, deviationMicros, hand } = value as IntervalVerdict;
      return [
        ['from', firstNumber + from],
        ['to', firstNumber + to],
        ['deviationMs', milliseconds(deviationMicros)],
        ...(hand ? [['hand', hand.name] as [string, unknown]] : []),
      ];
    }
    if (name === 'onset' || name === 'before' || name === 'from') return [[name, firstNumber + value]];
    if (name === 'played' || name === 'note') return [];
    if (name.endsWith('Micros')) return [[name.replace(/Micros$/, 'Ms'), milliseconds(value)]];
    if (name === 'decibels' || name === 'unevenDb') return [[name, tenths(value)]];
    return [[name, name === 'share' || name === 'made' ? fourPlaces(value) : value]];
  });
  return { kind: trouble.kind, ...Object.fromEntries(fields) };
}

function tenths(decibels: number): number {
  return Math.round(10 * decibels) / 10;
}

function fourPlaces(share: number): number {
  return Math.round(share * 10_000) / 10_000;
}

function milliseconds(micros: number): number {
  return Math.round(micros) / 1000;
}
