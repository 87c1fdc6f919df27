// Several players in one session: who is missed is waited for.

import { describe, expect, it } from 'vitest';
import { takeOf } from '../../src/session/session.ts';
import { pauseClause } from '../../src/wording/pause.ts';
import { begin, ended, found, liveSession, lost, press, strike, wait } from './live-session.ts';
import { planFor, planForPlayers } from './simulate.ts';

describe('a session of two players', () => {
  it('that has lost both goes on with the first who is found', async () => {
    const { told, paused } = await duo();
    let session = told(lost(2, 'first'), lost(3, 'second'));
    expect(session.stage).toMatchObject({ kind: 'paused', reason: { by: 'lost' } });
    expect(paused()).toEqual(['second is unplugged']);
    session = told(found(5, 'second'));
    expect(session.stage.kind).toBe('waiting');
    expect(session.players.map(({ presence }) => presence.kind)).toEqual(['lost', 'present']);
  });

  it('stays paused where the player has paused, whoever is lost and found meanwhile', async () => {
    const { told, paused } = await duo();
    told(press('pause', 1), lost(2, 'second'), found(3, 'second'));
    expect(paused()).toEqual(['']);
    expect(told().stage).toMatchObject({ kind: 'paused', reason: { by: 'player' } });
  });

  it('goes on from a free step when one of them has played and the other stays silent', async () => {
    const { plan, told, news } = await duo('switchback');
    const { onsets } = plan.steps[0]!.step.lines[0]!;
    told(...onsets.map(({ notes }, i) => strike(notes[0]!.pitch, 3 + i / 2, 'first')), wait(20));
    const verdicts = news('verdict');
    expect(verdicts.map(({ player, clean }) => [player, clean])).toEqual([
      ['first', true],
      ['second', false],
    ]);
    expect(verdicts[1]!.report.verdict.troubles).toEqual([{ kind: 'silent' }]);
  });

  it('ends when nothing more will come from either, not from one', async () => {
    const { told } = await duo();
    expect(told(ended(1, 'first'), wait(30)).stage.kind).not.toBe('finished');
    expect(told(ended(31, 'second'), wait(90)).stage.kind).toBe('finished');
  });

  it('tells each of them, before each take, what is theirs to play and when', async () => {
    const { plan, told, ofType } = await duo();
    const [one, other] = plan.players;
    const work = liveSession({
      ...plan,
      players: [
        { ...one!, lagMicros: 0 },
        { ...other!, parts: [1] },
      ],
    });
    const { zeroMicros, run } = takeOf(work.told(begin()))!;
    expect(work.ofType('prompt')).toMatchObject([
      { player: 'first', prompt: { run, zeroMicros, attempt: 1 } },
      { player: 'second', prompt: { run, zeroMicros, attempt: 1, line: { onsets: [] } } },
    ]);
    expect(work.ofType('prompt')[0]!.prompt.line.onsets.length).toBeGreaterThan(1);
    told(press('again', 3));
    expect(ofType('prompt')).toHaveLength(4);
  });

  it('hears the controls of each instrument as its own', async () => {
    const { plan } = await duo();
    const [first, second] = plan.players;
    const controls = { notes: { 36: 'pause' } } as const;
    const mixed = { ...plan, players: [first!, { ...second!, controls }] };
    const pressedBy = (player: string) => liveSession(mixed).told(begin(), strike(36, 1, player)).stage.kind;
    expect(pressedBy('second')).toBe('paused');
    expect(pressedBy('first')).not.toBe('paused');
    expect(pressedBy('nobody')).not.toBe('paused');
  });
});

// Helpers

async function duo(drill = 'landings') {
  const plan = planForPlayers(await planFor('slipway', { bars: '1', passes: '1', drill }), [
    'first',
    'second',
  ]);
  const work = liveSession(plan);
  work.told(begin());
  const paused = () => work.news('paused').map(({ reason }) => pauseClause(reason) ?? '');
  return { ...work, plan, paused };
}
