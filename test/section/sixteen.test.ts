// Sixteen players at once with everything that goes wrong, from seeds: cables out and back, wrong parts, octaves, a
// keyboard on two channels, players who never play. Beside it stand the checkers: what must hold of every session.

import { describe, expect, it } from 'vitest';
import { sharedInput } from '../../src/devices/shared-input.ts';
import { dealtOut } from '../../src/drills/dealt-out.ts';
import type { PlayerEvent } from '../../src/music/player-event.ts';
import type { PlayerSource, Prompt } from '../../src/ports/player-source.ts';
import type { News } from '../../src/session/news.ts';
import type { SessionPlan } from '../../src/session/plan.ts';
import type { Session } from '../../src/session/session.ts';
import type { MemoryRecord } from '../../src/simulation/memory-record.ts';
import { Random } from '../../src/simulation/random.ts';
import { SimulatedClock } from '../../src/simulation/simulated-clock.ts';
import { foldTake } from '../../src/take/fold.ts';
import { playerLines, sectionSentence } from '../../src/wording/section.ts';
import { sample } from '../sample.ts';
import { modelOn, planFor, planForPlayers, playOut } from '../session/simulate.ts';

type Fault = 'none' | 'cable' | 'cable for good' | 'wrong part' | 'octave' | 'two channels' | 'silent';

const FAULTS: readonly Fault[] = [
  'cable',
  'cable for good',
  'wrong part',
  'octave',
  'two channels',
  'silent',
];

describe.each(Array.from({ length: sample(12, 3) }, (_, seed) => seed + 1))(
  'sixteen players, seed %i',
  (seed) => {
    it('keep every promise of a section', async () => {
      const ran = await sixteen(seed);
      nobodyWaitsForEver(ran);
      everyTakeIsKept(ran);
      nothingIsCalledCleanThatIsNot(ran);
      everybodyIsToldOnce(ran);
      whoIsAwayIsSaidSo(ran);
      aKeyboardOnTwoChannelsIsHeardOnce(ran);
      aWrongPartIsSaidAndIsNoHeapOfErrors(ran);
      anOctaveIsSaidAndIsNoHeapOfErrors(ran);
    });
  },
);

it('the same seed gives the same session', async () => {
  const told = ({ news }: Ran) => JSON.stringify(news);
  expect(told(await sixteen(5))).toBe(told(await sixteen(5)));
});

// The checkers

/** With the silent, the lost and the wrong ones in it, the session still came to its end of itself. */
function nobodyWaitsForEver({ session, plan }: Ran): void {
  expect(session.stage.kind).toBe('finished');
  expect(session.tallies.map(({ state }) => state)).toEqual(plan.steps.map(() => 'passed'));
}

/** Of every take that a player had a note in, an entry, and a verdict that comes out again when it is folded. */
function everyTakeIsKept({ record, news, session }: Ran): void {
  const entries = record.entries();
  expect(entries).toHaveLength(session.kept);
  const verdicts = news.filter(({ kind }) => kind === 'verdict');
  expect(entries.filter(({ verdict }) => verdict !== undefined)).toHaveLength(verdicts.length);
  const orders = entries.map(({ order }) => order);
  expect(orders).toEqual(orders.map((_, i) => i + 1));
  for (const entry of entries.slice(0, 40)) {
    if (entry.verdict && entry.end !== 'lost') expect(foldTake(entry.playing!).clean).toBe(entry.clean);
  }
}

function nothingIsCalledCleanThatIsNot({ news, faults, plan }: Ran): void {
  for (const one of news) {
    if (one.kind !== 'section') continue;
    const { verdict } = one.report;
    const counted = verdict.players.filter(({ attendance }) => attendance === 'counted');
    expect(verdict.counted).toBe(counted.length);
    expect(verdict.clean).toBe(
      counted.length > 0 && counted.filter(({ clean }) => clean).length >= verdict.needed,
    );
    for (const [i, player] of verdict.players.entries()) {
      const fault = faults[i]!;
      if (fault === 'silent' || fault === 'octave' || fault === 'wrong part')
        expect(player.clean && !player.rests, `${plan.players[i]!.name} (${fault})`).toBe(false);
    }
  }
}

/** One sentence for the section, one for each who is listened to, none of them empty. */
function everybodyIsToldOnce({ news, plan }: Ran): void {
  for (const one of news) {
    if (one.kind !== 'section') continue;
    const { passage } = plan.span;
    expect(sectionSentence(one.report, passage)).toMatch(/^[A-Z].*\.$/);
    const lines = playerLines(one.report, passage);
    expect(lines.map(({ name }) => name).sort()).toEqual(plan.players.map(({ name }) => name).sort());
    for (const { words } of lines) expect(words).toMatch(/\.$/);
  }
}

function whoIsAwayIsSaidSo({ news, faults, plan }: Ran): void {
  plan.players.forEach(({ name }, i) => {
    const said = news.flatMap((one) =>
      (one.kind === 'away' || one.kind === 'back') && one.player === name ? [one.kind] : [],
    );
    const expected = { cable: ['away', 'back'], 'cable for good': ['away'] } as Partial<
      Record<Fault, string[]>
    >;
    expect(said, name).toEqual(expected[faults[i]!] ?? []);
  });
}

function aKeyboardOnTwoChannelsIsHeardOnce({ news, faults }: Ran): void {
  for (const one of news) {
    if (one.kind !== 'section') continue;
    one.report.takes.forEach(({ verdict }, i) => {
      if (faults[i] === 'two channels') expect(verdict.extras).toEqual([]);
    });
  }
  const told = news.filter(
    (one) => one.kind === 'notice' && JSON.stringify(one.notice).includes('it is heard once'),
  );
  expect(told).toHaveLength(faults.filter((fault) => fault === 'two channels').length);
}

function aWrongPartIsSaidAndIsNoHeapOfErrors({ news, faults, plan }: Ran): void {
  const wrong = faults.indexOf('wrong part');
  const whole = reportsOf(news).filter(({ verdict }) => (verdict.players[wrong]?.of ?? 0) >= 4);
  expect(whole.length).toBeGreaterThan(0);
  for (const report of whole) {
    const instead = report.verdict.players[wrong]!.playedPartOf;
    expect(instead).toBeDefined();
    expect(plan.players[instead!]!.parts).not.toEqual(plan.players[wrong]!.parts);
    const words = playerLines(report, plan.span.passage).find(({ player }) => player === wrong)!.words;
    expect(words).toMatch(/^Played the part of /);
  }
}

function anOctaveIsSaidAndIsNoHeapOfErrors({ news, faults }: Ran): void {
  const octave = faults.indexOf('octave');
  for (const { takes } of reportsOf(news)) {
    const { verdict, line } = takes[octave]!;
    if (line.onsets.length < 4) continue;
    expect(verdict.troubles.map(({ kind }) => kind)).toEqual(['octave']);
  }
  expect(news.some((one) => one.kind === 'notice' && one.notice.kind === 'shift')).toBe(true);
}

// The simulation

interface Ran {
  readonly session: Session;
  readonly plan: SessionPlan;
  readonly news: readonly News[];
  readonly record: MemoryRecord;
  readonly faults: readonly Fault[];
}

/** Sixteen on three parts; half of them must be clean. Every fault at least once, on players that the seed chooses. */
async function sixteen(seed: number): Promise<Ran> {
  const random = new Random(seed, 0);
  const names = Array.from({ length: 16 }, (_, i) => `Player ${i + 1}`);
  const base = planForPlayers(
    await planFor('slackwater', { bars: '1-3', drill: 'landings', every: 'bar', tempo: '76', passes: '2' }),
    names,
  );
  const plan: SessionPlan = {
    ...base,
    section: { name: 'band', runOn: true, quorum: 6 },
    players: base.players.map((player, i) => ({ ...player, parts: [i % 3] })),
  };
  const faults: Fault[] = names.map(() => 'none');
  for (const fault of FAULTS) {
    let at = random.integer(0, 15);
    while (faults[at] !== 'none') at = (at + 1) % 16;
    faults[at] = fault;
  }
  const clock = new SimulatedClock();
  const sources = new Map(
    names.map((name, i): [string, PlayerSource] => {
      const model = modelOn(
        clock,
        `model:exact,sd=${random.integer(2, 9)},offset=${random.integer(-15, 15)},seed=${seed + i}`,
      );
      const faulty = withFault(model, faults[i]!, { clock, random, plan, player: i });
      return [name, sharedInput(faulty, [{}])[0]!];
    }),
  );
  return { ...(await playOut(plan, sources, clock, { limitMinutes: 10 })), plan, faults };
}

function withFault(
  source: PlayerSource,
  fault: Fault,
  {
    clock,
    random,
    plan,
    player,
  }: { clock: SimulatedClock; random: Random; plan: SessionPlan; player: number },
): PlayerSource {
  let report: (event: PlayerEvent) => void = () => {};
  let away = false;
  let prompts = 0;
  const outAt = random.integer(1, 3);
  const pass = (event: PlayerEvent) => {
    if (away || fault === 'silent') return;
    if (event.type !== 'note-on' && event.type !== 'note-off') return report(event);
    if (fault === 'octave') return report({ ...event, pitch: event.pitch + 12 });
    report(event);
    if (fault === 'two channels') report({ ...event, channel: 2, at: event.at + 700 });
  };
  return {
    name: source.name,
    start(given) {
      report = given;
      source.start(pass);
    },
    prompt(prompt: Prompt) {
      prompts += 1;
      if ((fault === 'cable' || fault === 'cable for good') && prompts === outAt) {
        const at = prompt.zeroMicros + random.integer(100_000, 1_500_000);
        clock.wakeAt(at, () => {
          away = true;
          report({ type: 'lost', at, reason: 'the instrument was unplugged' });
        });
        const back = at + random.integer(2_000_000, 8_000_000);
        if (fault === 'cable')
          clock.wakeAt(back, () => {
            away = false;
            report({ type: 'found', at: back });
          });
      }
      if (fault !== 'wrong part') return source.prompt(prompt);
      // The next part's notes, of the same run.
      const wrong = ((plan.players[player]!.parts![0] ?? 0) + 1) % 3;
      const whole = plan.steps.find(({ step }) => step.run.name === prompt.run.name)!.step;
      const [line] = dealtOut(whole, [{ parts: [wrong] }], plan.span.passage).lines;
      source.prompt({ ...prompt, line: line! });
    },
    hush: (at) => source.hush(at),
    close: () => source.close(),
  };
}

function reportsOf(news: readonly News[]) {
  return news.flatMap((one) => (one.kind === 'section' ? [one.report] : []));
}
