// Verdicts of takes written by hand: a line of single notes, each played at a time or in some way not.

import type { ExtraNote, NoteVerdict } from '../../src/matching/alignment.ts';
import { TOLERANCES } from '../../src/take/tolerance.ts';
import type { TakeVerdict } from '../../src/take/verdict.ts';

export interface HandTake {
  /** Played times in ms; 'wrong' or 'missed' where not played rightly. */
  readonly times: readonly (number | 'wrong' | 'missed')[];
  /** Notated length of every interval. */
  readonly expectedMs: number;
  readonly extras?: readonly ExtraNote[];
}

export function handVerdict({ times, expectedMs, extras = [] }: HandTake): TakeVerdict {
  const notes = times.map((time, onset): NoteVerdict => {
    if (time === 'missed') return { onset, note: 0, verdict: 'missed' };
    return { onset, note: 0, verdict: time === 'wrong' ? 'wrong' : 'right', played: onset };
  });
  const intervals = times.slice(1).flatMap((time, from) => {
    const since = times[from];
    if (typeof time !== 'number' || typeof since !== 'number') return [];
    if (extras.some((extra) => extra.before === from + 1)) return [];
    const expectedMicros = expectedMs * 1000;
    const playedMicros = (time - since) * 1000;
    const deviationMicros = playedMicros - expectedMicros;
    const share = deviationMicros / expectedMicros;
    const clean = Math.abs(share) < 0.13;
    const verdict = { from, to: from + 1, expectedMicros, playedMicros, deviationMicros, share, clean };
    return [{ ...verdict, allowedMicros: 0.13 * expectedMicros }];
  });
  return {
    clean:
      extras.length === 0 && notes.every((n) => n.verdict === 'right') && intervals.every((i) => i.clean),
    troubles: [],
    notes,
    extras,
    intervals,
    onsetMicros: times.map((time) => (typeof time === 'number' ? time * 1000 : undefined)),
    spreadMicros: times.map(() => 0),
    joints: [],
    pace: 1,
    tolerance: TOLERANCES.steady,
  };
}

/** Equal intervals, some of them longer or shorter by so many ms. */
export function evenTimes(count: number, ms: number, bent: Readonly<Record<number, number>> = {}): number[] {
  const times = [0];
  for (let from = 0; times.length < count; from++) times.push(times[from]! + ms + (bent[from] ?? 0));
  return times;
}
