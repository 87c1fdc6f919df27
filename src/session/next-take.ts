// The next take: of the same step or another, planned with its clicks, after a lead-in or straight from a landing.

import { closedGate } from '../coaching/gate.ts';
import type { TakeEnd } from '../record/entry.ts';
import { type Entrance, planTake } from '../take/plan-take.ts';
import { takeClicks } from '../take/take-times.ts';
import { stopRules, takeAttendance } from './attendance.ts';
import { breakOff } from './break-off.ts';
import type { Effect } from './effect.ts';
import { stepEntry, taskDrill } from './guidance.ts';
import { withFreshCounts } from './rung.ts';
import type { Advance, Session } from './session.ts';
import { entranceOnPulse } from './shared-pulse.ts';
import { bpmInForce, stepInForce } from './step-in-force.ts';
import { usualPlaying } from './usual-playing.ts';

/** Time to take a breath before the first click. */
export const READY_MICROS = 1_500_000;
/** After a control was pressed: enough to see what it did. */
export const AFTER_CONTROL_MICROS = 700_000;

/** Plans a take of the step in force and asks for its clicks. `soundedUntilMicros`: the step is sounded first. */
export function planNext(
  before: Session,
  wanted: Entrance,
  at: number,
  soundedUntilMicros?: number,
): Advance {
  const session = takeAttendance(before);
  const step = stepInForce(session);
  const attempt = session.attempt + 1;
  const { pulse, plan, players } = session;
  const entry = pulse ? entranceOnPulse(wanted, step, pulse, plan.span.passage) : wanted;
  const take = planTake(step, entry, {
    attempt,
    tolerance: plan.tolerance,
    evenTouch: plan.evenTouch ?? false,
    players: plan.players.map(({ lagMicros, tolerance }, i) => ({
      lagMicros,
      ...(tolerance ? { tolerance } : {}),
      shiftSemitones: players[i]!.shiftSemitones,
      usual: usualPlaying(players[i]!.seen),
    })),
    ...stopRules(session),
    listensMicros: soundedUntilMicros ?? at,
  });
  const clicks = takeClicks(take, entry.kind === 'join');
  const { drill, click } = session.steps[session.index]!;
  const task = attempt === 1 ? taskDrill(session) : undefined;
  const effects: Effect[] = [
    {
      type: 'news',
      at,
      news: {
        kind: 'step',
        drill,
        name: step.run.name,
        number: session.index + 1,
        of: session.steps.length,
        tempoBpm: bpmInForce(step.run),
        leadInBeats: entry.kind === 'join' ? 0 : step.run.leadInBeats,
        step,
        ...(click === undefined ? {} : { click }),
        attempt,
        ...(entry.kind === 'join' ? {} : { entry: stepEntry(session) }),
      },
    },
    ...(task === undefined ? [] : [{ type: 'news', at, news: { kind: 'task', drill: task } } as const]),
    { type: 'clicks', clicks },
    ...plan.players.map(
      ({ id }, i): Effect => ({
        type: 'prompt',
        player: id,
        prompt: { run: step.run, line: step.lines[i]!, zeroMicros: take.zeroMicros, attempt },
      }),
    ),
  ];
  const sounded = soundedUntilMicros === undefined ? {} : { soundedUntilMicros };
  return { session: { ...session, attempt, stage: { kind: 'waiting', take, ...sounded } }, effects };
}

/** The same or another step, by a control: whatever is being played is broken off, and a lead-in follows. */
export function startAfresh(session: Session, end: TakeEnd, at: number): Advance {
  const broken = breakOff(session, end, at);
  const planned = planNext(broken.session, { kind: 'lead-in', fromMicros: at + AFTER_CONTROL_MICROS }, at);
  return { session: planned.session, effects: [...broken.effects, ...planned.effects] };
}

/** Index of what comes after this step: what was skipped in an earlier sitting is not asked for again by itself. */
export function followingIndex({ index, plan, tallies }: Session): number {
  let next = index + 1;
  while (plan.startsAt?.skipped?.includes(next) && tallies[next]?.state === 'skipped') next += 1;
  return next;
}

/** The step after this one, its gate closed, its ladder where it stands. */
export function nextStep(session: Session, by = 1): Session {
  const index = Math.min(session.steps.length - 1, Math.max(0, session.index + by));
  return withFreshCounts({ ...session, index, attempt: 0, gate: closedGate(session.plan.passes) });
}
