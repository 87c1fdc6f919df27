// What a take of several counts for, and what the ladder makes of one.

import { describe, expect, it } from 'vitest';
import type { Session } from '../../src/session/session.ts';
import { FIVE_NOTES, readScript } from '../sessions/script.ts';
import { begin, liveSession, seat, strike, wait } from './live-session.ts';
import { fiveNotesPlan, planForPlayers } from './simulate.ts';

const [C, D, E_FLAT] = [60, 62, 63];

/** One take of the landing from C to D at 60, entered at 5.5 s. */
const right = (player?: string, at = 5.5) => [strike(C, at, player), strike(D, at + 1, player)];
const wrong = (player?: string, at = 5.5) => [strike(C, at, player), strike(E_FLAT, at + 1, player)];
const inTime = <E extends { readonly at: number }>(...events: readonly E[]) =>
  events.toSorted((a, b) => a.at - b.at);

describe('a take of two players', () => {
  it('is as clean as the one who was not, who is shown', async () => {
    const work = liveSession(await duoPlan());
    const after = work.told(begin(), ...inTime(...right('flute'), ...wrong('oboe')), wait(8.1));
    expect(after).toMatchObject({ cleanTakes: 0, takes: 1, kept: 2, gate: { missesInARow: 1 } });
    expect(after.shown).toMatchObject({ player: 1, onward: false });
    expect(after.costs).toMatchObject([{ from: 1, to: 2, kinds: { wrong: 1 } }]);
    const both = liveSession(await duoPlan());
    const clean = both.told(begin(), ...inTime(...right('flute'), ...right('oboe')), wait(8.1));
    expect(clean).toMatchObject({ cleanTakes: 1, index: 1 });
    expect(clean.shown).toMatchObject({ player: 0, onward: true });
    expect(clean.costs).toEqual([]);
  });

  it('of whom neither counts is not clean and counts for nothing', async () => {
    const work = liveSession(await duoPlan());
    const excused = ['flute', 'oboe'].map((player) => seat('excuse', player, 2));
    const after = work.told(begin(), ...excused, ...inTime(...right('flute'), ...right('oboe')), wait(8.1));
    expect(after).toMatchObject({ cleanTakes: 0, index: 0, gate: { cleanInARow: 0, missesInARow: 0 } });
    expect(after.shown!.player).toBe(0);
  });

  it('is silent when those who should play are, and not when one of them is', async () => {
    const one = liveSession(await duoPlan()).told(begin(), ...right('flute'), wait(8.1));
    expect(one).toMatchObject({ silentInARow: 0, gate: { missesInARow: 1 } });
    expect(one.tallies[0]).toMatchObject({ takes: 1 });
    const { players, ...plan } = await duoPlan();
    const rests = { ...plan, players: [players[0]!, { ...players[1]!, parts: [1] }] };
    const none = liveSession(rests).told(begin(), wait(8.1));
    expect(none).toMatchObject({ silentInARow: 1, gate: { missesInARow: 0 } });
    expect(none.tallies[0]).toMatchObject({ takes: 0 });
  });

  it('is kept for each who was listened to', async () => {
    const work = liveSession(await duoPlan());
    const after = work.told(begin(), seat('mute', 'oboe', 2), ...right('flute'), wait(8.1));
    expect(after).toMatchObject({ kept: 1, keptTogether: 1 });
  });
});

describe('a take', () => {
  it('has its fault remembered until the step is passed, and over a silence', async () => {
    const twice = liveSession(await fiveNotesPlan());
    const fault = twice.told(begin(), ...wrong(), wait(8.1)).repeated;
    expect(fault).toMatchObject({ kind: 'wrong', onset: 2, times: 1 });
    expect(twice.told(...wrong(undefined, 12.5), wait(15.1)).repeated).toEqual({ ...fault, times: 2 });
    expect(twice.told(wait(22.1)).repeated).toEqual({ ...fault, times: 2 });
    expect(twice.told(...right(undefined, 26.5), wait(29.1)).repeated).toBeUndefined();
  });

  it('on a ladder passes its step on the top rung alone, and a silent one leads to the same again', async () => {
    const { plan } = await readScript([FIVE_NOTES, 'set ladder 60-62', 'set up 1'].join('\n'));
    const onRung = (rung: number) => ({
      ...plan,
      steps: plan.steps.map((one) => ({ ...one, ladder: { ...one.ladder!, rung } })),
    });
    const states = ({ tallies }: Session) => tallies.map(({ state }) => state);
    const low = liveSession(onRung(0)).told(begin(), ...right(), wait(8.1));
    expect(low).toMatchObject({ index: 1, shown: { onward: true } });
    expect(states(low)).toEqual(['open', 'open', 'open', 'open']);
    const beat = 60 / 62;
    const entry = 1.5 + 4 * beat;
    const top = liveSession(onRung(plan.steps[0]!.ladder!.rungs.length - 1));
    const passed = top.told(begin(), strike(C, entry), strike(D, entry + beat), wait(8.1));
    expect(states(passed)).toEqual(['passed', 'open', 'open', 'open']);
    const missed = top.told(wait(30));
    expect(states(missed)).toEqual(['passed', 'open', 'open', 'open']);
    const silent = liveSession(onRung(0)).told(begin(), wait(8.1));
    expect(silent).toMatchObject({ index: 0, shown: { onward: false } });
    expect(silent.steps[0]!.ladder).toEqual(onRung(0).steps[0]!.ladder);
  });

  it('of a survey is one of so many, the last of which ends it', async () => {
    const plan = { ...(await fiveNotesPlan('set drill through')), runThroughs: 2 };
    const scale = (at: number) => [C, D, 64, 65, 67].map((pitch, i) => strike(pitch, at + i));
    const once = liveSession(plan);
    expect(once.told(begin(), ...scale(5.5), wait(11.4)).stage.kind).not.toBe('finished');
    expect(once.told(...scale(15.5), wait(21.4)).stage.kind).toBe('finished');
  });
});

// Helpers

async function duoPlan() {
  return planForPlayers(await fiveNotesPlan(), ['flute', 'oboe']);
}
