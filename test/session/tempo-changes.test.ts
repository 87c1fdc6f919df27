// A passage that changes its tempo: click, lead-in, expectation and verdict go with it.

import { describe, expect, it } from 'vitest';
import { checkEntry } from '../../src/record/schema.ts';
import type { News } from '../../src/session/news.ts';
import { playScript, readScript } from '../sessions/script.ts';
import { simulate } from './simulate.ts';

/** Four beats at 60, then four at 120. */
const ABC = ['X:1', 'T:Two tempi', 'M:4/4', 'L:1/4', 'Q:1/4=60', 'K:C', 'C D E F | [Q:1/4=120] G A B c |]'];

describe('a passage that changes its tempo', () => {
  it('is clicked in proportion to the tempo asked', async () => {
    const { effects } = playScript({ plan: await plan({ drill: 'through', tempo: '30' }), events: [] });
    const clicks = effects.flatMap((effect) => (effect.type === 'clicks' ? effect.clicks : []));
    const gaps = clicks.slice(1).map(({ atMicros }, i) => (atMicros - clicks[i]!.atMicros) / 1_000_000);
    // The lead-in and the first bar at 30 a minute, the second bar and the rest after it at 60.
    // At 30 two beats are counted in, with eighths between them.
    expect(gaps.slice(0, 12)).toEqual(Array.from({ length: 12 }, () => 1));
    expect(clicks.slice(0, 12).map(({ accent }) => accent === 'division')).toEqual(
      Array.from({ length: 12 }, (_, i) => i % 2 === 1),
    );
    expect(gaps.slice(12, 16)).toEqual([1, 1, 1, 1]);
    expect(clicks.slice(12, 17).every(({ accent }) => accent !== 'division')).toBe(true);
  });

  it('is counted in at the tempo of the place that is entered, which is the one that is asked for', async () => {
    const second = await plan({ drill: 'through', bars: '2', tempo: '60' });
    const { effects } = playScript({ plan: second, events: [] });
    const [step] = effects.flatMap((effect) =>
      effect.type === 'news' && effect.news.kind === 'step' ? [effect.news] : [],
    );
    // The drill begins a bar before: at half the tempo that is asked for the second.
    expect(step!.tempoBpm).toBe(30);
    const slow = await plan({ drill: 'landings', bars: '2' });
    expect(slow.steps[0]!.step.run.tempo.bpm).toBe(80);
    expect(slow.steps[0]!.step.run.paces).toBeUndefined();
  });

  it('is clean when it is played so, and not when the change is missed', async () => {
    const through = { drill: 'through', passes: '1', tempo: '60', tolerance: 'concert' };
    const { news, record } = await simulate(await plan(through), ['model:exact'], 5);
    for (const entry of record.entries())
      expect(checkEntry(JSON.parse(JSON.stringify(entry)))).toMatchObject({ ok: true });
    expect(verdicts(news)).toEqual([true]);
    const clean = async (times: readonly number[]) => {
      const events = times.map((at, i) => `${at} on ${'CDEFGAB'[i] ?? 'C'}${i < 7 ? 4 : 5}`);
      const { effects } = playScript(await script(through, [...events, '14 press quit']));
      return verdicts(effects.flatMap((effect) => (effect.type === 'news' ? [effect.news] : [])));
    };
    expect(await clean([5.5, 6.5, 7.5, 8.5, 9.5, 10, 10.5, 11])).toEqual([true]);
    expect(await clean([5.5, 6.5, 7.5, 8.5, 9.5, 10.5, 11.5, 12.5])).toEqual([false]);
  });
});

// Helpers

function script(options: Readonly<Record<string, string>>, events: readonly string[] = []) {
  const sets = Object.entries(options).map(([name, value]) => `set ${name} ${value}`);
  return readScript([...ABC.map((line) => `abc ${line}`), ...sets, ...events].join('\n'));
}

async function plan(options: Readonly<Record<string, string>>) {
  return (await script(options)).plan;
}

function verdicts(news: readonly News[]): boolean[] {
  return news.flatMap((one) => (one.kind === 'verdict' ? [one.clean] : []));
}
