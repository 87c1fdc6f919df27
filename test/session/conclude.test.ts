// What comes of a take: whether it counts, what is told, what is passed.

import { describe, expect, it } from 'vitest';
import type { Effect } from '../../src/session/effect.ts';
import type { Notice } from '../../src/session/notice.ts';
import type { Session } from '../../src/session/session.ts';
import { FIVE_NOTES, type Played, playScript, readScript } from '../sessions/script.ts';
import { begin, liveSession, strike, wait } from './live-session.ts';
import { fiveNotesPlan } from './simulate.ts';

const MINUTE = 60_000_000;
/** One step of five notes in two bars at 60, entered at 5.5 s; each take and its lead-in last 10 s. */
const TAKE_SECONDS = 10;
const RIGHT = ['C4', 'D4', 'E4', 'F4', 'G4'];
const WRONG = ['C4', 'E4', 'E4', 'F4', 'G4'];

describe('a take that is over', () => {
  it('is told by a sound, and in quiet work is not', async () => {
    expect(ofType(await work([RIGHT]), 'signal').map(({ kind }) => kind)).toEqual(['onward']);
    expect(ofType(await work([RIGHT], { change: quiet }), 'signal')).toEqual([]);
  });

  it('asks for a rest when 25 minutes of playing are full, and only then', async () => {
    const since = (minutes: number) => (session: Session) =>
      session.takes === 0 ? { ...session, playedMicros: minutes * MINUTE } : session;
    const rest: Notice = { kind: 'rest', minutes: 25 };
    expect(notices(await work([RIGHT], { change: since(24.95) }))).toEqual([rest]);
    expect(notices(await work([RIGHT], { change: since(24.5) }))).toEqual([]);
    expect(notices(await work([RIGHT], { change: since(25.01) }))).toEqual([]);
    expect(notices(await work([RIGHT], { change: since(49.95) }))).toEqual([{ ...rest, minutes: 50 }]);
  });

  it('counts what was played towards the rest', async () => {
    const { session } = await work([RIGHT]);
    // From the first click, at 1.5 s, to the end of the rest after the last note.
    expect(session.playedMicros).toBe(session.shown!.untilMicros - 1_500_000);
    expect(session.workedMicros).toBe(session.playedMicros);
  });

  it('brings the advice to go slower after the fourth miss in a row, for faults that differ', async () => {
    const [astray, short] = [
      ['C4', 'D4', 'E4', 'F4', 'A4'],
      ['C4', 'D4', 'E4', 'F4'],
    ];
    const faults = [astray!, short!, astray!, short!];
    expect(notices(await work(faults.slice(0, 3)))).toEqual([]);
    expect(notices(await work(faults))).toEqual([{ kind: 'misses', takes: 4, onLowestRung: false }]);
  });

  it('of a survey counts whatever it was, but for one in which nothing was played', async () => {
    const survey = (session: Session) => ({ ...session, plan: { ...session.plan, runThroughs: 2 } });
    expect((await work([WRONG, RIGHT], { change: survey })).session.stage.kind).toBe('finished');
    const once = await work([[], WRONG], { change: survey });
    expect(once.session.stage.kind).not.toBe('finished');
    expect(once.session.tallies[0]).toMatchObject({ takes: 1, cleanTakes: 0 });
  });

  it('of a survey is played to its end, whatever slips', async () => {
    const work = liveSession({ ...(await fiveNotesPlan('set drill through')), runThroughs: 1 });
    work.told(begin(), ...[60, 63, 64, 65, 67].map((pitch, i) => strike(pitch, 5.5 + i)), wait(20));
    expect(work.ofType('keep').map(({ take }) => take.end)).toEqual(['stopped']);
    expect(work.news('finished')).toMatchObject([{ takes: 1, survey: true }]);
  });

  it('costs the interval that led to its worst trouble, and is shown', async () => {
    const { session } = await work([WRONG]);
    expect(session.costs).toMatchObject([{ from: 1, to: 2, kinds: { wrong: 1 } }]);
    expect(session.shown).toMatchObject({ onward: false, player: 0 });
  });
});

describe('a clean take at a tempo of the player below the rung', () => {
  it('moves no rung; when the passes are full the way back to the rung is told', async () => {
    // At 58: four beats counted in, C, D held for two beats, and counted in again.
    const beat = 60 / 58;
    const takes = (count: number) =>
      Array.from({ length: count }, (_, i) => 2.7 + 4 * beat + 7 * beat * i).flatMap((at) => [
        `${at.toFixed(3)} on C4`,
        `${(at + beat).toFixed(3)} on D4`,
      ]);
    const played = async (count: number) => {
      const lines = [FIVE_NOTES, 'set ladder 60-96', '2 press slower', ...takes(count), '26 look'];
      return playScript(await readScript(lines.join('\n')));
    };
    const back: Notice = { kind: 'clean-off-rung', takes: 3, rungBpm: 60 };
    expect(notices(await played(2))).toEqual([]);
    expect(notices(await played(3))).toEqual([back]);
    expect((await played(3)).session.steps[0]!.ladder).toMatchObject({ rung: 0, cleanInRow: 0 });
  });
});

// Helpers

const quiet = (session: Session): Session => ({ ...session, plan: { ...session.plan, quiet: true } });

/** A session of such takes, each a list of names a second apart; `change` is made after every event. */
async function work(
  takes: readonly (readonly string[])[],
  { change = (session: Session) => session }: { readonly change?: (session: Session) => Session } = {},
): Promise<Played> {
  const lines = takes.flatMap((names, t) =>
    names.map((name, i) => `${(5.5 + TAKE_SECONDS * t + i).toFixed(3)} on ${name}`),
  );
  const text = `${FIVE_NOTES}\nset tempo 60\nset passes 1\nset drill through\n${lines.join('\n')}\n${TAKE_SECONDS * takes.length + 4} look`;
  return playScript(await readScript(text), { between: change });
}

function ofType<T extends Effect['type']>({ effects }: Played, type: T): Extract<Effect, { type: T }>[] {
  return effects.filter((effect): effect is Extract<Effect, { type: T }> => effect.type === type);
}

function notices(played: Played): Notice[] {
  return ofType(played, 'news').flatMap(({ news }) => (news.kind === 'notice' ? [news.notice] : []));
}
