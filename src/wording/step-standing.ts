// Where a step stands, in a few words.

import type { Gate } from '../coaching/gate.ts';
import type { Ladder } from '../coaching/ladder.ts';
import { currentBpm } from '../coaching/ladder.ts';
import type { Climb } from '../coaching/rounds.ts';
import { roundedBpm } from '../music/tempo.ts';
import type { StepStanding } from '../session/step-standing.ts';

/** While it is played. */
export function standingWords({ gate, ladder, runThrough }: StepStanding): string {
  if (runThrough)
    return runThroughWords({ ...runThrough, number: Math.min(runThrough.of, runThrough.number) });
  if (!ladder) {
    const done = Math.min(gate.passes, gate.cleanInARow);
    return `${cleanWords(gate)} [${'#'.repeat(done)}${'.'.repeat(gate.passes - done)}]`;
  }
  const { rungs, cleanInRow, plan, done, turn } = ladder;
  if (done) return `top rung held (${rungs.length} of ${rungs.length})`;
  return turn === 'goal'
    ? `once at the goal, then ${rungWords(ladder)}`
    : `${rungWords(ladder)}, clean ${cleanInRow} of ${plan.up}`;
}

/** Right after a take, with what it led to. */
export function standingAfterTake(
  { gate, ladder, runThrough }: StepStanding,
  take: { readonly clean: boolean; readonly next: Climb; readonly ownTempo: boolean },
): string {
  if (runThrough) return runThroughWords(runThrough);
  if (ladder && take.next === 'next-round') return `faster: ${roundedBpm(currentBpm(ladder))} a minute`;
  if (take.next !== 'again') return 'onward';
  if (!ladder) return take.clean ? cleanWords(gate) : 'again';
  const rung = rungWords(ladder);
  const bpm = roundedBpm(ladder.rungs[ladder.rung]!);
  if (take.ownTempo) return `at your own tempo; ${rung} is ${bpm}`;
  if (ladder.turn === 'goal') return `now once at the goal, ${roundedBpm(ladder.plan.goalBpm)} a minute`;
  return `${rung}, ${bpm} a minute`;
}

function runThroughWords({ number, of }: { readonly number: number; readonly of: number }): string {
  return `run-through ${number} of ${of}`;
}

function cleanWords({ passes, cleanInARow }: Gate): string {
  return `clean ${cleanInARow} of ${passes}`;
}

function rungWords({ rung, rungs }: Ladder): string {
  return `rung ${rung + 1} of ${rungs.length}`;
}
