import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { runThrough } from '../../src/drills/through.ts';
import { eventsOf } from '../../src/record/entry.ts';
import { advance } from '../../src/session/advance.ts';
import type { News } from '../../src/session/news.ts';
import type { PlannedStep } from '../../src/session/plan.ts';
import { newSession } from '../../src/session/session.ts';
import { sample } from '../sample.ts';
import { planFor, planForPlayers, simulate } from './simulate.ts';

const PASSAGES = ['slipway', 'ropewalk', 'mudlarks', 'fogbell', 'lanterns', 'lamplighter', 'crosstide'];

describe('a session', () => {
  it('is passed cleanly by an exact player, one take a step, whatever the passage', async () => {
    for (const passage of PASSAGES) {
      const plan = await planFor(passage, { passes: '1', drill: 'landings,through', tolerance: 'concert' });
      const { session, news } = await simulate(plan, ['model:exact']);
      expect(
        verdicts(news).filter((one) => !one.clean),
        passage,
      ).toEqual([]);
      expect(
        session.tallies.every((one) => one.state === 'passed' && one.takes === 1),
        passage,
      ).toBe(true);
    }
  });

  it('never moves on but by so many clean takes in a row', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.constantFrom(...PASSAGES),
        fc.constantFrom('pupil', 'nervous', 'heavy', 'steady'),
        fc.integer({ min: 0, max: 999 }),
        fc.integer({ min: 1, max: 3 }),
        async (passage, profile, seed, passes) => {
          const plan = await planFor(passage, { bars: '1-2', passes: String(passes), drill: 'landings' });
          const { news } = await simulate(plan, [`model:${profile},seed=${seed}`], 20);
          let number = 1;
          let cleanInARow = 0;
          for (const one of news) {
            if (one.kind === 'verdict') cleanInARow = one.clean ? cleanInARow + 1 : 0;
            if (one.kind === 'step' && one.number !== number) {
              expect(one.number).toBe(number + 1);
              expect(cleanInARow).toBe(passes);
              number = one.number;
              cleanInARow = 0;
            }
          }
        },
      ),
      { numRuns: sample(40, 4) },
    );
  });

  it('says a trouble that comes in the middle, on the screen and in the lines, and goes on', async () => {
    const plan = await planFor('slipway', { drill: 'through' });
    const begun = advance(newSession(plan), { type: 'begin', at: 0 }).session;
    const { session, effects } = advance(begun, { type: 'trouble', at: 1000, text: 'No more sound.' });
    const notice = { kind: 'passed-on', text: 'No more sound.' };
    expect(session).toMatchObject({ stage: { kind: 'waiting' }, notice });
    expect(effects).toEqual([{ type: 'news', at: 1000, news: { kind: 'notice', notice } }]);
  });

  it('comes out the same with the same seed', async () => {
    const plan = await planFor('slipway', { drill: 'landings,widening', snag: '8', bars: '1-2' });
    const one = await simulate(plan, ['model:pupil,seed=5']);
    const other = await simulate(plan, ['model:pupil,seed=5']);
    expect(other.news).toEqual(one.news);
    expect(other.record.entries()).toEqual(one.record.entries());
  });

  it('keeps every take with its raw events, in order', async () => {
    const plan = await planFor('slipway', { bars: '1-2', passes: '2' });
    const { news, record } = await simulate(plan, ['model:pupil,seed=3']);
    const takes = record.entries();
    expect(takes.filter((one) => one.verdict).length).toBe(verdicts(news).length);
    expect(takes.map((one) => one.order)).toEqual(takes.map((_, i) => i + 1));
    for (const take of takes)
      expect(eventsOf(take).filter((event) => event.type === 'note-on').length).toBeGreaterThan(0);
  });

  it('asks for no click twice', async () => {
    const plan = await planFor('slipway', { bars: '1-2', passes: '1' });
    const { click } = await simulate(plan, ['model:exact']);
    const times = click.clicks.map((one) => one.atMicros);
    expect(new Set(times).size).toBe(times.length);
  });

  it('that surveys is not stopped by slips and ends after so many run-throughs', async () => {
    const plan = await planFor('slipway', { tempo: '100' });
    const [{ settings }] = plan.steps as [PlannedStep];
    const step = runThrough(plan.span, settings.tempo, 'run-through');
    const survey = { ...plan, runThroughs: 3, steps: [{ drill: 'survey', drillRun: 0, step, settings }] };
    const { news, record } = await simulate(survey, ['model:beginner,seed=2'], 10);
    expect(verdicts(news)).toHaveLength(3);
    expect(
      verdicts(news).some(({ report }) => report.verdict.notes.some((note) => note.verdict === 'wrong')),
    ).toBe(true);
    for (const take of record.entries()) {
      expect(take.end).toBe('stopped');
      expect(take.playing?.terms.line.onsets).toHaveLength(plan.span.passage.onsets.length);
    }
  });

  it('with two players waits until both are clean', async () => {
    const plan = await planFor('slipway', { bars: '1-2', passes: '1', tolerance: 'concert' });
    const two = planForPlayers(plan, ['first', 'second']);
    const { news } = await simulate(two, ['model:exact', 'model:nervous,seed=4'], 20);
    const rounds = inPairs(verdicts(news));
    expect(rounds.some(([a, b]) => a.clean !== b.clean)).toBe(true);
    for (const [a, b] of rounds) expect(a.onward).toBe(a.clean && b.clean);
  });
});

// Helpers

type Verdict = Extract<News, { kind: 'verdict' }>;

function verdicts(news: readonly News[]): Verdict[] {
  return news.filter((one): one is Verdict => one.kind === 'verdict');
}

function inPairs<T>(all: readonly T[]): [T, T][] {
  return all.filter((_, i) => i % 2 === 0).map((one, i) => [one, all[2 * i + 1]!]);
}
