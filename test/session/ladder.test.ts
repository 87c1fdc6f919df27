// The tempo ladder in a session.

import { describe, expect, it } from 'vitest';
import { startLadder } from '../../src/coaching/ladder.ts';
import { leftLadder } from '../../src/coaching/ladder-left.ts';
import { ladderAfter } from '../../src/coaching/rounds.ts';
import type { SessionOptions } from '../../src/commands/session-options.ts';
import { need } from '../../src/commands/usage-problem.ts';
import { checkEntry } from '../../src/record/schema.ts';
import type { News } from '../../src/session/news.ts';
import { ladderOf } from '../../src/session/rung.ts';
import { standingAfterTake } from '../../src/wording/step-standing.ts';
import { playScript, readScript, tuneLines } from '../sessions/script.ts';
import { planFor, simulate } from './simulate.ts';

describe('a ladder for the drill as a whole', () => {
  it('takes all steps at one tempo, then all of them at the next, and the perfect player is soon through', async () => {
    const { news, session } = await climbed({ ladder: '60-96' }, 'model:exact');
    const tempi = starts(news).map(({ number, tempoBpm }) => [number, tempoBpm] as const);
    const rounds = tempi.filter(([number]) => number === 1).map(([, bpm]) => bpm);
    expect(rounds).toEqual([60, 67.5, 75.9, 85.4, 90.5, 93.2, 96]);
    for (const [number, bpm] of tempi)
      expect(bpm).toBe(rounds[tempi.filter(([n]) => n === number).findIndex(([, b]) => b === bpm)]);
    expect(session.tallies.every(({ state, takes }) => state === 'passed' && takes === rounds.length)).toBe(
      true,
    );
    expect(session.stage.kind).toBe('finished');
  });

  it('says when it rises, and counts the new tempo in', async () => {
    const { news } = await climbed({ ladder: '60-96' }, 'model:exact');
    const standings = news.flatMap((one) =>
      one.kind === 'verdict' ? [standingAfterTake(one.standing, one)] : [],
    );
    expect(standings.filter((words) => words.startsWith('faster: '))).toEqual([
      'faster: 67.5 a minute',
      'faster: 75.9 a minute',
      'faster: 85.4 a minute',
      'faster: 90.5 a minute',
      'faster: 93.2 a minute',
      'faster: 96 a minute',
    ]);
    for (const { number, leadInBeats } of starts(news))
      if (number === 1) expect(leadInBeats).toBeGreaterThan(1);
  });

  it('is kept with every take, so that the rung can be told from the record again', async () => {
    const { record, session } = await climbed({ ladder: '60-66', alternate: true }, 'model:nervous,seed=3');
    const entries = record.entries().filter(({ end }) => end === 'stopped' || end === 'slipped');
    for (const entry of entries)
      expect(checkEntry(JSON.parse(JSON.stringify(entry)))).toMatchObject({ ok: true });
    expect(entries.every(({ ladder }) => ladder?.by === 'round')).toBe(true);
    const { plan } = session.steps[0]!.ladder!;
    const start = need(startLadder(plan));
    const takes = entries
      .filter(({ counted }) => counted)
      .map(({ clean, tempoBpm: bpm, ladder }) => ({ clean, bpm, lastStep: ladder!.lastStep! }));
    expect(ladderAfter(start, takes)).toEqual(session.steps[0]!.ladder);
    expect(leftLadder(start, entries).rung).toBe(session.steps[0]!.ladder!.rung);
  });

  it('step by step is climbed by each step alone, and the drop of tempo after it is counted in', async () => {
    const { news } = await climbed({ ladder: '60-66', stepByStep: true }, 'model:exact');
    const begun = starts(news).filter((one, i, all) => i > 0 && one.number !== all[i - 1]!.number);
    expect(begun.length).toBeGreaterThan(1);
    for (const { tempoBpm, leadInBeats } of begun) {
      expect(tempoBpm).toBe(60);
      expect(leadInBeats).toBeGreaterThan(1);
    }
  });
});

describe('on a ladder', () => {
  it('skip and back keep the rung', async () => {
    const { plan, events } = await readScript(
      [TUNE, 'set ladder 60-96', '2 press skip', '3 press skip', '4 press back'].join('\n'),
    );
    const steps = plan.steps.map((one) => ({ ...one, ladder: { ...one.ladder!, rung: 4 } }));
    const { session, effects } = playScript({ plan: { ...plan, steps }, events });
    const begun = effects.flatMap((effect) =>
      effect.type === 'news' && effect.news.kind === 'step' ? [effect.news] : [],
    );
    expect(begun.map(({ number, tempoBpm }) => [number, tempoBpm])).toEqual([
      [1, 67.5],
      [2, 67.5],
      [3, 67.5],
      [2, 67.5],
    ]);
    expect(ladderOf(session)!.rung).toBe(4);
  });

  it('slower and faster are the player’s own tempo: the rungs keep their names, and slower takes prove nothing', async () => {
    const own = await playedLines('ladder 60-96', '2 press slower', ...clean(6.75, 60 / 58));
    expect(own.join('\n')).toContain('tempo 58 a minute');
    expect(own.join('\n')).toContain('(at your own tempo; rung 1 of 17 is 60)');
    const back = await playedLines('ladder 60-96', '2 press slower', '2.1 press faster', ...clean(6.8));
    expect(back.join('\n')).toContain('tempo 60 a minute');
    expect(back.join('\n')).toContain('(onward)');
  });

  it('says what to do when the lowest rung is not clean', async () => {
    const wrong = [5.5, 12.5, 19.5, 26.5].flatMap((at) => [`${at} on C4`, `${at + 1} on F4`]);
    const lines = await playedLines('ladder 60-96', ...wrong, '33 look');
    expect(lines.join('\n')).toMatch(
      /4 takes in a row were not clean, and there is no rung below this one: .*down arrow.*right arrow/,
    );
  });

  it('that alternates names the rung and not the goal', async () => {
    const lines = await playedLines('alternate true', 'ladder 60-96', ...clean(5.5), '16 look');
    expect(lines.join('\n')).toContain('(now once at the goal, 96 a minute)');
  });
});

// Helpers

const TUNE = tuneLines('C D E F | G4 |]');

async function climbed(options: Partial<SessionOptions>, model: string) {
  const plan = await planFor('slipway', { bars: '1', drill: 'landings', ...options });
  return simulate(plan, [model], 60);
}

function starts(news: readonly News[]) {
  return news.flatMap((one) => (one.kind === 'step' ? [one] : []));
}

/** The first step of the tune, C to D. */
function clean(at: number, beat = 1): string[] {
  return [`${at} on C4`, `${(at + beat).toFixed(3)} on D4`];
}

async function script(lines: readonly string[]) {
  const sets = lines.filter((line) => !/^\d/.test(line)).map((line) => `set ${line}`);
  const events = lines.filter((line) => /^\d/.test(line));
  return playScript(await readScript([TUNE, ...sets, ...events, '40 press quit'].join('\n')));
}

async function playedLines(...lines: string[]) {
  return (await script(lines)).lines;
}
