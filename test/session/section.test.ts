// Several players at one gate: who counts, who stops the run, for whom nobody waits.

import { describe, expect, it } from 'vitest';
import type { PlayerEvent } from '../../src/music/player-event.ts';
import { advance, nextWakeUp } from '../../src/session/advance.ts';
import { attendanceOf } from '../../src/session/attendance.ts';
import type { Effect } from '../../src/session/effect.ts';
import type { Control, SeatAsk, SessionEvent } from '../../src/session/event.ts';
import type { News } from '../../src/session/news.ts';
import type { SectionRules, SessionPlan } from '../../src/session/plan.ts';
import { newSession, type Session, takeOf } from '../../src/session/session.ts';
import { workAhead } from '../../src/session/work-ahead.ts';
import { tickMicros } from '../../src/take/take-times.ts';
import { planFor, planForPlayers } from './simulate.ts';

describe('the gate of a section', () => {
  it('opens when all are clean, and not when one is not', async () => {
    const trio = await band(['A', 'B', 'C']);
    trio.takes({ A: 'right', B: 'right', C: 'wrong' });
    expect(trio.session().index).toBe(0);
    trio.takes({ A: 'right', B: 'right', C: 'right' });
    expect(trio.session().index).toBe(1);
    expect(trio.sections().map(({ verdict }) => verdict.clean)).toEqual([false, true]);
  });

  it('opens with a quorum, and one slip more than it leaves room for stops the run', async () => {
    const trio = await band(['A', 'B', 'C'], { quorum: 2 });
    trio.takes({ A: 'right', B: 'wrong', C: 'right' });
    expect(trio.session().index).toBe(1);
    trio.takes({ A: 'right', B: 'wrong', C: 'wrong' });
    expect(trio.session().index).toBe(1);
    const [first, second] = trio.sections();
    expect(first!.verdict).toMatchObject({ clean: true, needed: 2, counted: 3 });
    expect(second!.verdict.clean).toBe(false);
    expect(trio.cuts()).toEqual([false, true]);
  });

  it('with run-on a slip stops nobody', async () => {
    const duo = await band(['A', 'B'], { runOn: true });
    duo.takes({ A: 'wrong', B: 'right' });
    expect(duo.cuts()).toEqual([false]);
    const [a, b] = duo.sections()[0]!.verdict.players;
    expect([a!.clean, b!.clean]).toEqual([false, true]);
  });

  it('stops the run for all where one slips', async () => {
    const duo = await band(['A', 'B']);
    duo.takes({ A: 'wrong', B: 'right' });
    expect(duo.cuts()).toEqual([true]);
  });

  it('counts who rests through the run as clean for keeping the rest, and not for a note in it', async () => {
    const duo = await band(['A', 'B'], {}, [[0], [1]]);
    duo.takes({ A: 'right', B: 'nothing' });
    expect(duo.session().index).toBe(1);
    const [, rested] = duo.sections()[0]!.verdict.players;
    expect(rested).toMatchObject({ rests: true, clean: true });
    duo.takes({ A: 'right', B: 'one note' });
    expect(duo.session().index).toBe(1);
  });

  it('never leaves out who rests through one run after another', async () => {
    const duo = await band(['A', 'B'], {}, [[0], [1]]);
    for (let i = 0; i < 3; i++) duo.takes({ A: 'wrong', B: 'nothing' });
    expect(attendanceOf(duo.session(), 1)).toBe('counted');
  });

  it('opens with all who count where they are fewer than the quorum', async () => {
    const trio = await band(['A', 'B', 'C'], { quorum: 2 });
    trio.ask('B', 'excuse');
    trio.ask('C', 'excuse');
    trio.takes({ A: 'right', B: 'nothing', C: 'nothing' });
    expect(trio.session().index).toBe(1);
  });
});

describe('what a teacher asks of one player', () => {
  it('excused: slips neither stop the run nor keep the gate shut, and are told', async () => {
    const duo = await band(['A', 'B']);
    duo.ask('B', 'excuse');
    duo.takes({ A: 'right', B: 'wrong' });
    expect(duo.session().index).toBe(1);
    expect(duo.sections()[0]!.verdict.players[1]).toMatchObject({ attendance: 'excused', clean: false });
    duo.ask('B', 'excuse');
    expect(attendanceOf(duo.session(), 1)).toBe('counted');
  });

  it('muted: is not listened to at all', async () => {
    const duo = await band(['A', 'B']);
    duo.ask('B', 'mute');
    duo.takes({ A: 'right', B: 'wrong' });
    expect(duo.session().index).toBe(1);
    expect(takeOf(duo.session())!.lines[1]!.soFar.flat()).toEqual([]);
    expect(duo.kept()).toEqual(['A']);
  });

  it('muted for some takes: nobody takes that for silence afterwards', async () => {
    const duo = await band(['A', 'B']);
    duo.ask('B', 'mute');
    for (let i = 0; i < 2; i++) duo.takes({ A: 'wrong', B: 'nothing' });
    duo.ask('B', 'mute');
    expect(attendanceOf(duo.session(), 1)).toBe('counted');
  });

  it('focus: one alone counts and stops the run', async () => {
    const duo = await band(['A', 'B']);
    duo.ask('A', 'focus');
    expect([0, 1].map((i) => attendanceOf(duo.session(), i))).toEqual(['counted', 'aside']);
    duo.takes({ A: 'right', B: 'wrong' });
    expect(duo.session().index).toBe(1);
    duo.takes({ A: 'wrong', B: 'right' });
    expect(duo.session().index).toBe(1);
    duo.ask('A', 'focus');
    expect([0, 1].map((i) => attendanceOf(duo.session(), i))).toEqual(['counted', 'counted']);
  });

  it('in the middle of a take a slip of one who is now excused stops nothing', async () => {
    const duo = await band(['A', 'B']);
    duo.untilPlaying();
    duo.ask('B', 'excuse');
    duo.takes({ A: 'right', B: 'wrong' });
    expect(duo.cuts()).toEqual([false]);
    expect(duo.session().index).toBe(1);
  });

  it('hear: sounds that part alone', async () => {
    const duo = await band(['A', 'B'], {}, [[0], undefined]);
    duo.ask('A', 'hear');
    expect(duo.sounded()).toBeGreaterThan(0);
    expect(duo.session().stage.kind).toBe('listening');
  });
});

describe('who is not there', () => {
  it('a cable out in the middle: the others go on and are judged, and it comes back with the next take', async () => {
    const trio = await band(['A', 'B', 'C']);
    trio.untilPlaying();
    trio.send('B', { type: 'lost', at: trio.session().now + 1, reason: 'the instrument was unplugged' });
    trio.takes({ A: 'right', B: 'nothing', C: 'right' });
    const [verdict] = trio.sections();
    expect(verdict!.verdict.players.map(({ attendance }) => attendance)).toEqual([
      'counted',
      'away',
      'counted',
    ]);
    expect(trio.session().index).toBe(1);
    trio.send('B', { type: 'found', at: trio.session().now + 1 });
    expect(attendanceOf(trio.session(), 1)).toBe('away');
    trio.takes({ A: 'right', B: 'nothing', C: 'right' });
    expect(attendanceOf(trio.session(), 1)).toBe('counted');
    expect(trio.news().flatMap(({ kind }) => (kind === 'away' || kind === 'back' ? [kind] : []))).toEqual([
      'away',
      'back',
    ]);
  });

  it('all cables out is a pause, and the first who is back goes on', async () => {
    const duo = await band(['A', 'B']);
    for (const player of ['A', 'B'])
      duo.send(player, { type: 'lost', at: duo.session().now + 1, reason: 'unplugged' });
    expect(duo.session().stage).toMatchObject({ kind: 'paused', reason: { by: 'lost' } });
    expect([0, 1].map((i) => attendanceOf(duo.session(), i))).toEqual(['away', 'away']);
    duo.send('B', { type: 'found', at: duo.session().now + 1 });
    expect(duo.session().stage.kind).toBe('waiting');
    expect([0, 1].map((i) => attendanceOf(duo.session(), i))).toEqual(['away', 'counted']);
  });

  it('one who never plays stops nobody, holds the gate for two takes and no longer, until a note comes', async () => {
    const duo = await band(['A', 'B']);
    duo.takes({ A: 'right', B: 'nothing' });
    duo.takes({ A: 'right', B: 'nothing' });
    expect(duo.cuts()).toEqual([false, false]);
    expect(duo.session().index).toBe(0);
    duo.takes({ A: 'right', B: 'nothing' });
    expect(duo.session().index).toBe(1);
    const notices = duo.news().flatMap((one) => (one.kind === 'notice' ? [one.notice] : []));
    expect(notices).toEqual([{ kind: 'left-out', players: ['B'] }]);
    duo.takes({ A: 'right', B: 'right' });
    expect(attendanceOf(duo.session(), 1)).toBe('counted');
  });
});

describe('what is worked out before the verdict', () => {
  it('changes nothing of it, whatever becomes of the players meanwhile', async () => {
    const told = async (worksAhead: boolean) => {
      const trio = await band(['A', 'B', 'C'], { runOn: true }, undefined, worksAhead);
      trio.takes({ A: 'right', B: 'wrong', C: 'right' });
      trio.takes({ A: 'right', B: 'right', C: 'wrong late' }, { meanwhile: () => trio.ask('B', 'mute') });
      trio.takes(
        { A: 'wrong', C: 'right' },
        {
          meanwhile: () => {
            const at = trio.session().now + 1;
            trio.send('C', { type: 'note-on', at, pitch: 61, velocity: 80, channel: 1 });
          },
        },
      );
      expect(trio.worked() > 0).toBe(worksAhead);
      return trio.sections();
    };
    const [ahead, asked] = [await told(true), await told(false)];
    expect(ahead).toHaveLength(3);
    expect(ahead[1]!.verdict.together.pairs).toHaveLength(1);
    expect(ahead).toEqual(asked);
  });
});

it('of a player alone most of the verdict is worked out before it is given, too', async () => {
  const told = async (worksAhead: boolean) => {
    const solo = await band(['A'], {}, undefined, worksAhead);
    solo.takes({ A: 'wrong' });
    solo.takes({ A: 'right' });
    expect(solo.worked() > 0).toBe(worksAhead);
    return solo.entries();
  };
  expect(await told(true)).toEqual(await told(false));
});

describe('what is kept of a take', () => {
  it('says which section, which of its takes, and how each took part: judged or broken off', async () => {
    const trio = await band(['A', 'B', 'C'], { quorum: 1 });
    trio.ask('B', 'excuse');
    trio.takes({ A: 'right', B: 'wrong', C: 'right' });
    trio.untilPlaying();
    trio.send('A', { type: 'note-on', at: trio.session().now + 1, pitch: 60, velocity: 80, channel: 1 });
    trio.control('again');
    trio.takes({ A: 'right', B: 'right', C: 'right' });
    const told = trio
      .entries()
      .map(({ player, end, together }) => [
        player,
        end,
        together!.section,
        together!.take,
        together!.attendance,
        together!.needed,
      ]);
    expect(told).toEqual([
      ['A', 'stopped', 'band', 1, 'counted', 1],
      ['B', 'stopped', 'band', 1, 'excused', 1],
      ['C', 'stopped', 'band', 1, 'counted', 1],
      ['A', 'retaken', 'band', 2, 'counted', 1],
      ['A', 'stopped', 'band', 3, 'counted', 1],
      ['B', 'stopped', 'band', 3, 'excused', 1],
      ['C', 'stopped', 'band', 3, 'counted', 1],
    ]);
  });

  it('has when each right onset came, from the beginning of the run: what players are compared by', async () => {
    const duo = await band(['A', 'B']);
    duo.takes({ A: 'right', B: 'wrong' });
    const [a, b] = duo.entries().map(({ verdict }) => verdict!.arrivals!);
    const { onsets } = duo.firstLine();
    // 60 a minute: a beat of 10,080 ticks is a second.
    const due = onsets.map(({ tick, number }) => ({
      tick,
      onset: number,
      micros: Math.round((tick / 10_080) * 1e6),
    }));
    expect(a!.slice(0, 3)).toEqual(due.slice(0, 3));
    expect(b!.map(({ onset }) => onset)).not.toContain(due[1]!.onset);
  });
});

it('the earliest slip decides where the run stops, in whatever order the players are told', async () => {
  const inOrder = await band(['A', 'B']);
  inOrder.takes({ A: 'wrong', B: 'wrong late' });
  const reversed = await band(['A', 'B']);
  reversed.takes({ B: 'wrong late', A: 'wrong' }, { backwards: true });
  const told = (one: Awaited<ReturnType<typeof band>>) => one.sections().map(({ verdict }) => verdict);
  expect(told(reversed)).toEqual(told(inOrder));
});

// Helpers

type KeptEntry = Extract<Effect, { readonly type: 'keep' }>['take'];
type Playing = 'right' | 'wrong' | 'wrong late' | 'nothing' | 'one note';

/** Players of the first bar of a bundled passage by the bar; one clean take opens a step. */
async function band(
  names: readonly string[],
  rules: Partial<SectionRules> = {},
  parts?: readonly (readonly number[] | undefined)[],
  worksAhead = false,
) {
  const base = planForPlayers(
    await planFor('slipway', { bars: '1-3', passes: '1', every: '4', tempo: '60' }),
    names,
  );
  const plan: SessionPlan = {
    ...base,
    section: { name: 'band', runOn: false, ...rules },
    players: base.players.map((player, i) => (parts?.[i] ? { ...player, parts: parts[i] } : player)),
  };
  let session: Session = newSession(plan);
  const news: News[] = [];
  const entries: KeptEntry[] = [];
  const cuts: boolean[] = [];
  let sounded = 0;
  let worked = 0;
  const step = (event: SessionEvent) => {
    const done = advance(session, event);
    session = done.session;
    while (worksAhead && workAhead(session)) worked += 1;
    for (const effect of done.effects) {
      if (effect.type === 'news') news.push(effect.news);
      if (effect.type === 'keep') entries.push(effect.take);
      if (effect.type === 'sound') sounded += effect.notes.length;
      if (effect.type === 'news' && effect.news.kind === 'section')
        cuts.push(session.shown!.take.cutTick !== undefined);
    }
  };
  const wakeTo = (at: number) => {
    for (let next = nextWakeUp(session); next !== undefined && next < at; next = nextWakeUp(session))
      step({ type: 'wake', at: next });
  };
  const hasStopped = () => session.stage.kind === 'held' || session.stage.kind === 'resting';
  step({ type: 'begin', at: 0 });
  const send = (player: string, event: PlayerEvent) => step({ type: 'played', at: event.at, player, event });
  return {
    session: () => session,
    news: () => news,
    kept: () => entries.map(({ player }) => player),
    entries: () => entries,
    firstLine: () => plan.steps[0]!.step.lines[0]!,
    control: (control: Control) => step({ type: 'control', at: session.now + 1, control }),
    cuts: () => cuts,
    sounded: () => sounded,
    worked: () => worked,
    sections: () => news.flatMap((one) => (one.kind === 'section' ? [one.report] : [])),
    send,
    ask: (player: string, ask: SeatAsk) => step({ type: 'seat', at: session.now + 1, player, ask }),
    untilPlaying: () => {
      const take = takeOf(session)!;
      wakeTo(tickMicros(take, take.run.startTick) - 1000);
    },
    /** One take to its verdict, played so by each; `backwards`: at one moment the last player is told first. */
    takes: (playing: Readonly<Record<string, Playing>>, { backwards = false, meanwhile = () => {} } = {}) => {
      const take = takeOf(session)!;
      const events = Object.entries(playing).flatMap(([player, how]) => {
        const index = plan.players.findIndex(({ id }) => id === player);
        const { onsets } = take.lines[index]!.terms.line;
        const at = (tick: number) => tickMicros(take, tick);
        const note = (micros: number, pitch: number) => ({
          player,
          event: { type: 'note-on', at: micros, pitch, velocity: 80, channel: 1 } as const,
        });
        if (how === 'nothing') return [];
        if (how === 'one note') return [note(at(take.run.startTick) + 100_000, 60)];
        // The second note is wrong, in one case struck a moment later.
        const wrong = (i: number) => (how !== 'right' && i === 1 ? 1 : 0);
        const late = how === 'wrong late' ? 4_000 : 0;
        return onsets.map((onset, i) =>
          note(at(onset.tick) + (i === 1 ? late : 0), onset.notes[0]!.pitch + wrong(i)),
        );
      });
      events.sort((a, b) => a.event.at - b.event.at);
      const sent = backwards ? swappedNeighbours(events) : events;
      const before = news.filter(({ kind }) => kind === 'verdict').length;
      for (const { player, event } of sent) {
        const now = Math.max(event.at, session.now);
        // Who is told late is told within the loop's grace.
        if (event.at > session.now) wakeTo(event.at);
        step({ type: 'played', at: now, player, event });
      }
      for (let next = nextWakeUp(session); next !== undefined && !hasStopped(); next = nextWakeUp(session))
        step({ type: 'wake', at: next });
      meanwhile();
      for (let next = nextWakeUp(session); next !== undefined; next = nextWakeUp(session)) {
        step({ type: 'wake', at: next });
        if (news.filter(({ kind }) => kind === 'verdict').length > before) break;
      }
    },
  };
}

/** Events that come within five milliseconds of each other, told the other way round. */
function swappedNeighbours<T extends { readonly event: { readonly at: number } }>(events: readonly T[]): T[] {
  const swapped = [...events];
  for (let i = 0; i + 1 < swapped.length; i++) {
    const [one, next] = [swapped[i]!, swapped[i + 1]!];
    if (next.event.at - one.event.at <= 5_000) {
      swapped[i] = next;
      swapped[i + 1] = one;
      i += 1;
    }
  }
  return swapped;
}
