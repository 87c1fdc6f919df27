// Sixteen players of twenty notes a second while the screen holds the program up 200 ms out of every 250: nothing is
// lost, nothing is late. What an instrument sends keeps its stamp; only the telling is late. At the end of each hold-up
// the timers fire before the waiting input is told, which is the worse order of the two.

import { expect, it } from 'vitest';
import type { PlayerEvent } from '../../src/music/player-event.ts';
import type { Clock } from '../../src/ports/clock.ts';
import type { PlayerSource } from '../../src/ports/player-source.ts';
import type { News } from '../../src/session/news.ts';
import type { SessionPlan } from '../../src/session/plan.ts';
import { SimulatedClock } from '../../src/simulation/simulated-clock.ts';
import { sample } from '../sample.ts';
import { modelOn, planFor, planForPlayers, playOut } from '../session/simulate.ts';

const PLAYERS = Array.from({ length: 16 }, (_, i) => `player ${i + 1}`);
const MINUTES = sample(10, 0.2);

it('comes to the same verdicts with the screen stalled as without', async () => {
  const base = await planFor('ropewalk', { drill: 'through', passes: '20', tempo: '300' });
  const plan = { ...planForPlayers(base, PLAYERS), section: { name: 'sixteen', runOn: true } };
  const free = await play(plan, modelsOn);
  const stalled = await play(plan, (clock) => againOn(heldUp(clock, 1), free.sent), { stalls: true });
  const told = (news: readonly News[]) => news.flatMap((one) => (one.kind === 'section' ? [one.report] : []));
  expect(told(free.news).length).toBeGreaterThan(0);
  expect(told(stalled.news)).toEqual(told(free.news));
  // In a take that was broken off at the end, what was told last may be on its way.
  const kept = ({ record }: typeof free) =>
    record
      .entries()
      .filter(({ end }) => end !== 'quit')
      .map(({ player, order, playing }) => [player, order, playing!.events]);
  expect(kept(stalled)).toEqual(kept(free));
});

// Helpers

const EVERY = 250_000;
const STALL = 200_000;

/** Whatever is due during a hold-up comes at its end, `after` later. */
function heldUp(clock: SimulatedClock, after: number): Clock {
  return {
    nowMicros: () => clock.nowMicros(),
    date: () => clock.date(),
    wakeAt: (at, callback) => {
      const into = ((at % EVERY) + EVERY) % EVERY;
      return clock.wakeAt(into < STALL ? at - into + STALL + after : at, callback);
    },
  };
}

function modelsOn(clock: Clock): PlayerSource[] {
  return PLAYERS.map((_, i) => modelOn(clock, `model:steady,seed=${i + 1}`));
}

/** The same notes with the same stamps, told when the clock lets them be told. */
function againOn(clock: Clock, sent: readonly (readonly PlayerEvent[])[]): PlayerSource[] {
  return PLAYERS.map((name, i) => ({
    name,
    start(report) {
      for (const event of sent[i]!) clock.wakeAt(event.at, () => report(event));
    },
    prompt() {},
    hush() {},
    async close() {},
  }));
}

async function play(
  plan: SessionPlan,
  sourcesOn: (clock: SimulatedClock) => readonly PlayerSource[],
  { stalls = false } = {},
) {
  const clock = new SimulatedClock();
  const sent: PlayerEvent[][] = PLAYERS.map(() => []);
  const sources = new Map(
    sourcesOn(clock).map((source, i): [string, PlayerSource] => [
      PLAYERS[i]!,
      {
        name: source.name,
        start: (report) =>
          source.start((event) => {
            sent[i]!.push(event);
            report(event);
          }),
        prompt: (prompt) => source.prompt(prompt),
        hush: (at) => source.hush(at),
        close: () => source.close(),
      },
    ]),
  );
  const sessionClock = stalls ? heldUp(clock, 0) : clock;
  return { ...(await playOut(plan, sources, clock, { limitMinutes: MINUTES, sessionClock })), sent };
}
