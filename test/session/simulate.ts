// A whole session on the simulated clock with simulated players: minutes in milliseconds.

import { loadSpan } from '../../src/commands/passage-argument.ts';
import type { SessionOptions } from '../../src/commands/session-options.ts';
import { planSession } from '../../src/commands/session-setup.ts';
import { need } from '../../src/commands/usage-problem.ts';
import type { Clock } from '../../src/ports/clock.ts';
import type { PlayerSource } from '../../src/ports/player-source.ts';
import { runSession } from '../../src/run-session.ts';
import type { SessionEvent } from '../../src/session/event.ts';
import type { News } from '../../src/session/news.ts';
import type { SessionPlan } from '../../src/session/plan.ts';
import type { Session } from '../../src/session/session.ts';
import { MemoryRecord } from '../../src/simulation/memory-record.ts';
import { PlayerModel } from '../../src/simulation/player-model.ts';
import { readProfile } from '../../src/simulation/read-profile.ts';
import { RecordedClick } from '../../src/simulation/recorded-click.ts';
import { SimulatedClock } from '../../src/simulation/simulated-clock.ts';
import { FIVE_NOTES, readScript } from '../sessions/script.ts';

export interface Simulation {
  readonly session: Session;
  readonly news: readonly News[];
  readonly record: MemoryRecord;
  readonly click: RecordedClick;
  /** All that the players sent, in the order of time. */
  readonly played: readonly Extract<SessionEvent, { type: 'played' }>[];
}

export async function planFor(passage: string, options: SessionOptions): Promise<SessionPlan> {
  return planSession(await loadSpan(passage, options), options);
}

/** Five notes in two bars at 60, one clean take a step, with such script lines more. */
export async function fiveNotesPlan(...lines: readonly string[]): Promise<SessionPlan> {
  return (await readScript([FIVE_NOTES, 'set tempo 60', 'set passes 1', ...lines].join('\n'))).plan;
}

/** The plan for players of these names, each with the same line. */
export function planForPlayers(plan: SessionPlan, names: readonly string[]): SessionPlan {
  const [one] = plan.players;
  return { ...plan, players: names.map((name) => ({ ...one!, id: name, name })) };
}

/** The player that such words ask for, as `--from` takes them: "model:exact,seed=3". */
export function modelOn(clock: Clock, words: string): PlayerModel {
  return new PlayerModel(clock, need(readProfile(words)));
}

/** One model for each player of the plan. Ends by itself or after `limitMinutes`. */
export async function simulate(
  plan: SessionPlan,
  models: readonly string[],
  limitMinutes = 60,
): Promise<Simulation> {
  const clock = new SimulatedClock();
  const played: Extract<SessionEvent, { type: 'played' }>[] = [];
  const sources = new Map(
    plan.players.map(({ id }, i) => {
      const model = modelOn(clock, models[i]!);
      const start = model.start.bind(model);
      model.start = (report) =>
        start((event) => {
          played.push({ type: 'played', at: event.at, player: id, event });
          report(event);
        });
      return [id, model] as const;
    }),
  );
  return { ...(await playOut(plan, sources, clock, { limitMinutes })), played };
}

/** A session with these sources, until it ends by itself or for `limitMinutes`; `sessionClock`: where its own differs. */
export async function playOut(
  plan: SessionPlan,
  sources: ReadonlyMap<string, PlayerSource>,
  clock: SimulatedClock,
  { limitMinutes, sessionClock = clock }: { readonly limitMinutes: number; readonly sessionClock?: Clock },
): Promise<Omit<Simulation, 'played'>> {
  const record = new MemoryRecord();
  const click = new RecordedClick();
  const news: News[] = [];
  let quit: () => void = () => {};
  const running = runSession(
    plan,
    { clock: sessionClock, sources, click, record, onNews: (one) => news.push(one) },
    {
      sitting: 'test',
      leavesAlone: true,
      unicode: false,
      onStart: (control) => (quit = () => control('quit')),
    },
  );
  clock.runUntilIdle(limitMinutes * 60_000_000);
  quit();
  return { session: await running, news, record, click };
}
