// What the record keeps of a verdict: what progress is told from, by the passage's own onset numbers. The whole verdict
// is had again by judging the take's events again.

import type { TakeTerms } from '../take/terms.ts';
import type { TakeVerdict, Trouble } from '../take/verdict.ts';

interface KeptInterval {
  /** Number (from 1) of the passage's onset where the interval begins, and where it ends. */
  readonly from: number;
  readonly to: number;
  readonly expectedMicros: number;
  /** Played minus expected: positive = too long. */
  readonly deviationMicros: number;
  readonly clean: boolean;
}

/** Something that went wrong at an onset, or (`restart`, `extra`, `blip`) before it. */
export interface KeptSlip {
  readonly kind: 'wrong' | 'missed' | 'extra' | 'blip' | 'restart' | 'placed' | 'chord';
  /** Number (from 1) of the passage's onset. */
  readonly onset: number;
  /** By how much, for what is early or late (`placed`) or spread (`chord`). */
  readonly micros?: number;
}

/** When an onset came that was played rightly. */
export interface Arrival {
  /** A tick of the run: the same for what several players strike together. */
  readonly tick: number;
  /** Number (from 1) of the passage's onset. */
  readonly onset: number;
  /** From the run's tick 0, a known lag taken off. */
  readonly micros: number;
}

export interface KeptVerdict {
  readonly clean: boolean;
  /** The worst trouble; absent when clean. */
  readonly worst?: Trouble['kind'];
  readonly slips: readonly KeptSlip[];
  readonly intervals: readonly KeptInterval[];
  /** Tempo as played over tempo asked: 1.02 is 2 % faster. */
  readonly pace: number;
  /** Standard deviation about the click, where there was one and enough was played. */
  readonly placementSpreadMicros?: number;
  /** Constant part of the placement on the click, positive = late. */
  readonly placementLagMicros?: number;
  /** Of a take that several played together: what they are compared by. */
  readonly arrivals?: readonly Arrival[];
}

/** `together`: several played it. */
export function keptVerdict(verdict: TakeVerdict, terms: TakeTerms, together: boolean): KeptVerdict {
  const numbers = terms.line.onsets.map(({ number }) => number);
  const numberOf = (onset: number) => numbers[Math.min(onset, numbers.length - 1)] ?? 1;
  const worst = verdict.troubles[0]?.kind;
  const { placement } = verdict;
  return {
    clean: verdict.clean,
    ...(worst === undefined ? {} : { worst }),
    slips: verdict.troubles.flatMap((trouble) => slipOf(trouble, numberOf)),
    intervals: verdict.intervals.map(({ from, to, expectedMicros, deviationMicros, clean }) => ({
      from: numberOf(from),
      to: numberOf(to),
      expectedMicros: Math.round(expectedMicros),
      deviationMicros: Math.round(deviationMicros),
      clean,
    })),
    pace: rounded(verdict.pace),
    ...(placement === undefined ? {} : { placementSpreadMicros: Math.round(placement.spreadMicros) }),
    ...(placement?.lagMicros === undefined ? {} : { placementLagMicros: Math.round(placement.lagMicros) }),
    ...(together ? { arrivals: arrivalsOf(verdict, terms) } : {}),
  };
}

function arrivalsOf({ onsetMicros }: TakeVerdict, { line, zeroMicros, lagMicros }: TakeTerms): Arrival[] {
  return line.onsets.flatMap(({ tick, number }, i) => {
    const micros = onsetMicros[i];
    return micros === undefined
      ? []
      : [{ tick, onset: number, micros: Math.round(micros - zeroMicros - lagMicros) }];
  });
}

function slipOf(trouble: Trouble, numberOf: (onset: number) => number): KeptSlip[] {
  switch (trouble.kind) {
    case 'wrong':
    case 'missed':
      return [{ kind: trouble.kind, onset: numberOf(trouble.onset) }];
    case 'extra':
    case 'blip':
    case 'restart':
      return [{ kind: trouble.kind, onset: numberOf(trouble.before) }];
    case 'placed':
      return [{ kind: 'placed', onset: numberOf(trouble.onset), micros: Math.round(trouble.offsetMicros) }];
    case 'chord':
      return [{ kind: 'chord', onset: numberOf(trouble.onset), micros: Math.round(trouble.spreadMicros) }];
    default:
      return [];
  }
}

/** Enough for a pace: a ten-thousandth. */
function rounded(pace: number): number {
  return Math.round(pace * 10_000) / 10_000;
}
