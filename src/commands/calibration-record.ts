// What calibration found, kept in the practice record: the lag for each pair of input and output, the jitter for each
// input.

import type { Jitter, Lag } from '../coaching/calibration.ts';
import type { PracticeRecord } from '../ports/practice-record.ts';

/** Which way in and which way out: the lag is theirs together. */
export interface SetUp {
  readonly input: string;
  readonly output: string;
  /** Of a section: an input that several share is calibrated for each of them. */
  readonly player?: string;
}

export interface KeptLag {
  readonly lagMicros: number;
  readonly spreadMicros: number;
  /** Calendar day, ISO 8601. */
  readonly day: string;
}

export function rememberLag(record: PracticeRecord, setUp: SetUp, lag: Lag, date: Date): void {
  const { lagMicros, spreadMicros } = lag;
  const kept: KeptLag = { lagMicros, spreadMicros, day: date.toISOString().slice(0, 10) };
  record.remember(lagName(setUp), kept);
}

export function recallLag(record: PracticeRecord, setUp: SetUp): KeptLag | undefined {
  const kept = record.recall(lagName(setUp));
  if (!isRecord(kept)) return undefined;
  const { lagMicros, spreadMicros, day } = kept;
  if (!isMicros(lagMicros) || !isMicros(spreadMicros) || typeof day !== 'string') return undefined;
  return { lagMicros, spreadMicros, day };
}

export function rememberJitter(record: PracticeRecord, input: string, jitter: Jitter): void {
  record.remember(`jitter of ${input}`, jitter);
}

export function recallJitter(record: PracticeRecord, input: string): Jitter | undefined {
  const kept = record.recall(`jitter of ${input}`);
  if (!isRecord(kept)) return undefined;
  const { onsetMicros, intervalMicros, notes } = kept;
  if (!isMicros(onsetMicros) || !isMicros(intervalMicros) || typeof notes !== 'number') return undefined;
  return { onsetMicros, intervalMicros, notes };
}

/** What a player is told of it at the beginning. */
export function lagNotice({ lagMicros, day }: KeptLag): string {
  const ms = Math.round(lagMicros / 1000);
  const place = ms === 0 ? 'on the click' : `${Math.abs(ms)} ms ${ms > 0 ? 'after' : 'before'} the click`;
  return `Calibrated on ${day}: your notes arrive ${place}. That is taken off before judging.`;
}

function lagName({ input, output, player }: SetUp): string {
  return `lag of ${player === undefined ? '' : `${player} on `}${input} with ${output}`;
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null;
}

function isMicros(value: unknown): value is number {
  return typeof value === 'number' && Number.isFinite(value);
}
