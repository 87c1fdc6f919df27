// Several players in one session: who is missed is waited for.

import { describe, expect, it } from 'vitest';
import type { PlayerEvent } from '../../src/music/player-event.ts';
import { advance, nextWakeUp } from '../../src/session/advance.ts';
import type { Effect } from '../../src/session/effect.ts';
import type { SessionEvent } from '../../src/session/event.ts';
import { newSession, type Session } from '../../src/session/session.ts';
import { pauseClause } from '../../src/wording/pause.ts';
import { planFor, planForPlayers } from './simulate.ts';

const SECOND = 1_000_000;

describe('a session of two players', () => {
  it('that has lost both goes on with the first who is found', async () => {
    const { told, paused } = await duo();
    let session = told(lost('first', 2), lost('second', 3));
    expect(session.stage).toMatchObject({ kind: 'paused', reason: { by: 'lost' } });
    expect(paused()).toEqual(['second is unplugged']);
    session = told(found('second', 5));
    expect(session.stage.kind).toBe('waiting');
    expect(session.players.map(({ presence }) => presence.kind)).toEqual(['lost', 'present']);
  });

  it('stays paused where the player has paused, whoever is lost and found meanwhile', async () => {
    const { told, paused } = await duo();
    told(control('pause', 1), lost('second', 2), found('second', 3));
    expect(paused()).toEqual(['']);
    expect(told().stage).toMatchObject({ kind: 'paused', reason: { by: 'player' } });
  });

  it('goes on from a free step when one of them has played and the other stays silent', async () => {
    const { told, effects } = await duo('switchback');
    const note = (at: number, pitch: number): PlayerEvent => ({
      type: 'note-on',
      at: at * SECOND,
      pitch,
      velocity: 80,
      channel: 1,
    });
    const pitches = newSession((await duo('switchback')).plan).steps[0]!.step.lines[0]!.onsets.map(
      (onset) => onset.notes[0]!.pitch,
    );
    const played = pitches.map((pitch, i) => sent('first', note(3 + i / 2, pitch)));
    told(...played, { type: 'wake', at: 20 * SECOND });
    const verdicts = effects().flatMap((effect) =>
      effect.type === 'news' && effect.news.kind === 'verdict' ? [effect.news] : [],
    );
    expect(verdicts.map(({ player, clean }) => [player, clean])).toEqual([
      ['first', true],
      ['second', false],
    ]);
    expect(verdicts[1]!.report.verdict.troubles).toEqual([{ kind: 'silent' }]);
  });

  it('ends when nothing more will come from either, not from one', async () => {
    const { told } = await duo();
    const ended = (player: string, at: number) => sent(player, { type: 'ended', at: at * SECOND });
    expect(told(ended('first', 1), { type: 'wake', at: 30 * SECOND }).stage.kind).not.toBe('finished');
    expect(told(ended('second', 31), { type: 'wake', at: 90 * SECOND }).stage.kind).toBe('finished');
  });

  it('hears the controls of each instrument as its own', async () => {
    const { plan } = await duo();
    const [first, second] = plan.players;
    const controls = { notes: { 36: 'pause' } } as const;
    const mixed = { ...plan, players: [first!, { ...second!, controls }] };
    const press = (player: string) => {
      const begun = advance(newSession(mixed), { type: 'begin', at: 0 }).session;
      const event: PlayerEvent = { type: 'note-on', at: SECOND, pitch: 36, velocity: 80, channel: 1 };
      return advance(begun, { type: 'played', at: SECOND, player, event }).session.stage.kind;
    };
    expect(press('second')).toBe('paused');
    expect(press('first')).not.toBe('paused');
    expect(press('nobody')).not.toBe('paused');
  });
});

// Helpers

async function duo(drill = 'landings') {
  const plan = planForPlayers(await planFor('slipway', { bars: '1', passes: '1', drill }), [
    'first',
    'second',
  ]);
  let session: Session = newSession(plan);
  const effects: Effect[] = [];
  const take = (event: SessionEvent) => {
    for (let at = nextWakeUp(session); at !== undefined && at < event.at; at = nextWakeUp(session))
      step({ type: 'wake', at });
    step(event);
  };
  const step = (event: SessionEvent) => {
    const done = advance(session, event);
    session = done.session;
    effects.push(...done.effects);
  };
  step({ type: 'begin', at: 0 });
  return {
    plan,
    told(...events: SessionEvent[]): Session {
      for (const event of events) take(event);
      return session;
    },
    effects: () => effects,
    paused: () =>
      effects.flatMap((effect) =>
        effect.type === 'news' && effect.news.kind === 'paused'
          ? [pauseClause(effect.news.reason) ?? '']
          : [],
      ),
  };
}

function sent(player: string, event: PlayerEvent): SessionEvent {
  return { type: 'played', at: event.at, player, event };
}

function lost(player: string, at: number): SessionEvent {
  return sent(player, { type: 'lost', at: at * SECOND, reason: `${player} is unplugged` });
}

function found(player: string, at: number): SessionEvent {
  return sent(player, { type: 'found', at: at * SECOND });
}

function control(name: 'pause', at: number): SessionEvent {
  return { type: 'control', at: at * SECOND, control: name };
}
