// Following another machine's pulse: its tempo is the steps' tempo, and takes are entered so that their downbeats fall
// on its downbeats. The pulse is a line through its last quarter; a take keeps the tempo it was planned with, the next
// one takes up what has changed.

import type { Step } from '../drills/step.ts';
import { barTicks } from '../music/meter.ts';
import type { Passage } from '../music/passage.ts';
import { clampBpm, ticksToMicros } from '../music/tempo.ts';
import { TICKS_PER_QUARTER } from '../music/ticks.ts';
import type { FollowedPulse } from '../ports/pulse.ts';
import type { Entrance } from '../take/plan-take.ts';

/** The step at the pulse's tempo, within the tempi that can be played at all. */
export function atPulse(step: Step, pulse: FollowedPulse): Step {
  const bpm = (pulse.quarterBpm * TICKS_PER_QUARTER) / step.run.tempo.beatTicks;
  const played = clampBpm(Math.round(bpm * 100) / 100);
  // The other machine's tempo is the only one: changes in the music are its to make.
  const { paces: _, ...run } = step.run;
  return { ...step, run: { ...run, tempo: { ...run.tempo, bpm: played } } };
}

/** The entry moved onto the pulse: a lead-in later, to the next downbeat that fits; a join to the nearest beat. */
export function entranceOnPulse(
  entry: Entrance,
  step: Step,
  pulse: FollowedPulse,
  passage: Passage,
): Entrance {
  const quarterMicros = 60_000_000 / pulse.quarterBpm;
  const timeOf = (quarter: number) => pulse.quarterAtMicros + (quarter - pulse.quarter) * quarterMicros;
  const quarterAt = (atMicros: number) => pulse.quarter + (atMicros - pulse.quarterAtMicros) / quarterMicros;
  if (entry.kind === 'join') {
    const beat = step.run.tempo.beatTicks / TICKS_PER_QUARTER;
    return {
      kind: 'join',
      atMicros: Math.round(timeOf(beat * Math.round(quarterAt(entry.atMicros) / beat))),
    };
  }
  const first = Math.min(step.run.startTick, step.run.clicks[0]?.tick ?? step.run.startTick);
  const downbeat = step.run.clicks.find(({ accent }) => accent === 'bar');
  const meter = (passage.bars.find((bar) => !bar.pickup) ?? passage.bars[0]!).meter;
  const unit = (downbeat ? barTicks(meter) : step.run.tempo.beatTicks) / TICKS_PER_QUARTER;
  const ahead = ticksToMicros((downbeat?.tick ?? first) - first, step.run.tempo);
  const earliest = quarterAt(entry.fromMicros + ahead);
  const landing = timeOf(unit * Math.ceil(earliest / unit - 1e-6));
  return { kind: 'lead-in', fromMicros: Math.round(landing - ahead) };
}
