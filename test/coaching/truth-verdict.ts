// A verdict made from the player model's own truth: what a faultless matcher would say. With it the tests of snags
// stand on their own feet.

import type { ExtraNote, NoteVerdict } from '../../src/matching/alignment.ts';
import { type Tempo, ticksToMicros } from '../../src/music/tempo.ts';
import type { ModelTake } from '../../src/simulation/play-take.ts';
import type { ModelOnset } from '../../src/simulation/slip.ts';
import { median } from '../../src/statistics.ts';
import { TOLERANCES, toleranceMicros } from '../../src/take/tolerance.ts';
import type { IntervalVerdict, TakeVerdict, Trouble } from '../../src/take/verdict.ts';

/** Of lines without chords or ornaments. */
export function truthVerdict(onsets: readonly ModelOnset[], tempo: Tempo, take: ModelTake): TakeVerdict {
  const notes: NoteVerdict[] = onsets.map((_, onset) => ({ onset, note: 0, verdict: 'missed' }));
  const onsetMicros: (number | undefined)[] = onsets.map(() => undefined);
  const extras: ExtraNote[] = [];
  const troubles: Trouble[] = [];
  let back = onsets.length;
  for (let played = take.truth.notes.length - 1; played >= 0; played--) {
    const { as, onset } = take.truth.notes[played]!;
    if (as === 'right' || as === 'wrong') {
      notes[onset] = { onset, note: 0, verdict: as, played };
      if (as === 'right') onsetMicros[onset] = take.notes[played]!.onMicros;
      back = onset;
    } else if (as === 'extra' || as === 'blip') {
      extras.unshift({ played, kind: as, before: onset });
    } else {
      extras.unshift({ played, kind: 'restart', before: back });
    }
  }
  const intervals: IntervalVerdict[] = [];
  for (let from = 0; from + 1 < onsets.length; from++) {
    const [a, b] = [onsetMicros[from], onsetMicros[from + 1]];
    if (a === undefined || b === undefined || extras.some((e) => e.before === from + 1)) continue;
    const expectedMicros = ticksToMicros(onsets[from + 1]!.tick - onsets[from]!.tick, tempo);
    const deviationMicros = b - a - expectedMicros;
    const allowedMicros = toleranceMicros(TOLERANCES.steady, expectedMicros);
    intervals.push({
      from,
      to: from + 1,
      expectedMicros,
      playedMicros: b - a,
      deviationMicros,
      share: deviationMicros / expectedMicros,
      allowedMicros,
      clean: Math.abs(deviationMicros) <= allowedMicros,
    });
  }
  for (const { verdict, onset } of notes)
    if (verdict === 'missed') troubles.push({ kind: verdict, onset, note: 0 });
  return {
    clean: troubles.length === 0 && extras.length === 0 && intervals.every((i) => i.clean),
    troubles,
    notes,
    extras,
    intervals,
    onsetMicros,
    spreadMicros: onsets.map(() => 0),
    joints: [],
    pace: 1 / median(intervals.map((i) => i.playedMicros / i.expectedMicros)),
    tolerance: TOLERANCES.steady,
  };
}
