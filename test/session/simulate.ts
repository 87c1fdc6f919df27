// A whole session on the simulated clock with simulated players: minutes in milliseconds.

import { loadSpan } from '../../src/commands/passage-argument.ts';
import type { SessionOptions } from '../../src/commands/session-options.ts';
import { planSession } from '../../src/commands/session-setup.ts';
import { need } from '../../src/commands/usage-problem.ts';
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

/** The plan for players of these names, each with the same line. */
export function planForPlayers(plan: SessionPlan, names: readonly string[]): SessionPlan {
  const [one] = plan.players;
  return { ...plan, players: names.map((name) => ({ ...one!, id: name, name })) };
}

/** One model for each player of the plan. Ends by itself or after `limitMinutes`. */
export async function simulate(
  plan: SessionPlan,
  models: readonly string[],
  limitMinutes = 60,
): Promise<Simulation> {
  const clock = new SimulatedClock();
  const record = new MemoryRecord();
  const click = new RecordedClick();
  const news: News[] = [];
  const played: Extract<SessionEvent, { type: 'played' }>[] = [];
  const sources = new Map(
    plan.players.map(({ id }, i) => {
      const profile = need(readProfile(models[i]!));
      const model = new PlayerModel(clock, profile);
      const start = model.start.bind(model);
      model.start = (report) =>
        start((event) => {
          played.push({ type: 'played', at: event.at, player: id, event });
          report(event);
        });
      return [id, model] as const;
    }),
  );
  let quit: () => void = () => {};
  const running = runSession(
    plan,
    { clock, sources, click, record, onNews: (one) => news.push(one) },
    {
      sitting: 'test',
      leavesAlone: true,
      unicode: false,
      onStart: (control) => (quit = () => control('quit')),
    },
  );
  clock.runUntilIdle(limitMinutes * 60_000_000);
  quit();
  return { session: await running, news, record, click, played };
}
