// A session that follows another machine's pulse, on the simulated clock.

import { describe, expect, it } from 'vitest';
import { PulseListener } from '../../src/devices/clock-source.ts';
import { clockPulses } from '../../src/devices/midi-clock.ts';
import { barTicks } from '../../src/music/meter.ts';
import { TICKS_PER_QUARTER as Q } from '../../src/music/ticks.ts';
import type { FollowedPulse, PulseSource } from '../../src/ports/pulse.ts';
import { runSession } from '../../src/run-session.ts';
import type { News } from '../../src/session/news.ts';
import { atPulse, entranceOnPulse } from '../../src/session/shared-pulse.ts';
import { MemoryRecord } from '../../src/simulation/memory-record.ts';
import { RecordedClick } from '../../src/simulation/recorded-click.ts';
import { SimulatedClock } from '../../src/simulation/simulated-clock.ts';
import { lots } from '../notation/generated-passage.ts';
import { modelOn, planFor } from './simulate.ts';

describe('following a pulse', () => {
  it('waits for it, then clicks on its beats, bars on its bars, at its tempo', async () => {
    const { news, click } = await follow({ begins: 7_300_000, bpm: 100, minutes: 2, drill: 'through' });
    const quarter = 600_000;
    expect(click.clicks[0]!.atMicros).toBeGreaterThan(7_300_000);
    for (const { atMicros, accent } of click.clicks) {
      const quarters = (atMicros - 7_300_000) / quarter;
      expect(Math.abs(quarters - Math.round(quarters)) * quarter).toBeLessThan(1_000);
      if (accent === 'bar') expect(Math.round(quarters) % 4).toBe(0);
    }
    const tempi = news.flatMap((one) => (one.kind === 'step' ? [one.tempoBpm] : []));
    expect(tempi.length).toBeGreaterThan(1);
    expect(new Set(tempi)).toEqual(new Set([100]));
    expect(news.filter((one) => one.kind === 'verdict' && one.clean).length).toBeGreaterThan(1);
  });

  it('keeps joined takes on its beats, whose holds are no whole bars', async () => {
    const { click, news } = await follow({ begins: 2_000_000, bpm: 80, minutes: 1 });
    for (const { atMicros } of click.clicks) {
      const quarters = (atMicros - 2_000_000) / 750_000;
      expect(Math.abs(quarters - Math.round(quarters)) * 750_000).toBeLessThan(1_000);
    }
    expect(news.filter((one) => one.kind === 'verdict' && one.onward).length).toBeGreaterThan(1);
  });

  it('pauses when it stops and goes on when it starts again', async () => {
    const { news } = await follow({
      begins: 1_000_000,
      bpm: 90,
      minutes: 1,
      stopsAt: 9_000_000,
      again: 15_000_000,
    });
    const kinds = news.map((one) => one.kind);
    const paused = news.find((one) => one.kind === 'paused');
    expect(paused).toEqual({ kind: 'paused', reason: { by: 'pulse' } });
    expect(kinds.indexOf('resumed')).toBeGreaterThan(kinds.indexOf('paused'));
    expect(kinds.lastIndexOf('verdict')).toBeGreaterThan(kinds.indexOf('resumed'));
  });

  it('never begins without it', async () => {
    const { news, click } = await follow({ begins: Number.POSITIVE_INFINITY, bpm: 90, minutes: 1 });
    expect(news.filter((one) => one.kind === 'step')).toEqual([]);
    expect(click.clicks).toEqual([]);
  });
});

describe('an entry on the pulse', () => {
  it('is never sooner than asked, and less than a bar later', async () => {
    const plan = await planFor('slipway', {});
    const { passage } = plan.span;
    const bar = barTicks(passage.bars.find((one) => !one.pickup)!.meter) / Q;
    for (const { step } of plan.steps) {
      const pulse = { quarterBpm: 77, quarterAtMicros: 123_456, quarter: 5 };
      const at = { ...atPulse(step, pulse) };
      const entry = entranceOnPulse({ kind: 'lead-in', fromMicros: 5_000_000 }, at, pulse, passage);
      if (entry.kind !== 'lead-in') throw new Error('a lead-in stays one');
      expect(entry.fromMicros).toBeGreaterThanOrEqual(5_000_000 - 1);
      expect(entry.fromMicros - 5_000_000).toBeLessThan((bar * 60_000_000) / 77 + 1);
    }
  });

  it('of a joined take is on the nearest beat', async () => {
    const plan = await planFor('slipway', {});
    const [{ step }] = plan.steps as [(typeof plan.steps)[0]];
    const pulse = { quarterBpm: 120, quarterAtMicros: 1_000_000, quarter: 2 };
    const entry = { kind: 'join', atMicros: 3_020_000 } as const;
    expect(entranceOnPulse(entry, atPulse(step, pulse), pulse, plan.span.passage)).toEqual({
      kind: 'join',
      atMicros: 3_000_000,
    });
  });
});

describe('MIDI clock as a pulse', () => {
  // MIDI 1.0: 24 clocks a quarter; 120 a minute are half-second quarters.
  const steady = clockPulses({ zeroMicros: 2_000_000, quarterMicros: 500_000, quarters: 5 });

  it('is reported every quarter once it is sure, with its tempo, and once when it stops', () => {
    const reports = listen(steady);
    expect(reports.map((one) => one?.quarter)).toEqual([2, 3, 4, undefined]);
    expect(reports[0]!.quarterBpm).toBeCloseTo(120, 2);
    expect(reports[2]!.quarterAtMicros).toBeCloseTo(4_000_000, -1);
  });

  it('is followed through a sender that is late by up to 30 ms now and then', () => {
    const random = lots(4);
    const late = steady.map((one) => {
      const lateMicros = random() < 0.15 ? 30_000 * random() : 2_000 * random();
      return { ...one, atMicros: one.atMicros + Math.round(lateMicros) };
    });
    for (const one of listen(late)) {
      if (!one) continue;
      expect(Math.abs(one.quarterBpm - 120)).toBeLessThan(0.5);
      expect(Math.abs(one.quarterAtMicros - (2_000_000 + one.quarter * 500_000))).toBeLessThan(3_000);
    }
  });

  it('takes up another tempo within two quarters', () => {
    const slower = clockPulses({ zeroMicros: 4_500_000, quarterMicros: 600_000, quarters: 4 });
    const changed = [...steady.slice(0, -1), ...slower.slice(1, -1)];
    const reports = listen(changed);
    expect(reports.findLast((one) => one?.quarter === 7)!.quarterBpm).toBeCloseTo(100, 1);
  });
});

// Helpers

function listen(pulses: ReturnType<typeof clockPulses>): (FollowedPulse | undefined)[] {
  const reports: (FollowedPulse | undefined)[] = [];
  const listener = new PulseListener((pulse) => reports.push(pulse));
  for (const { byte, atMicros } of pulses) listener.take(byte, atMicros);
  listener.stop(20_000_000);
  return reports;
}

interface Followed {
  readonly begins: number;
  readonly bpm: number;
  readonly minutes: number;
  readonly drill?: string;
  readonly stopsAt?: number;
  readonly again?: number;
}

async function follow({ begins, bpm, minutes, stopsAt, again, drill = 'landings' }: Followed) {
  const clock = new SimulatedClock();
  const click = new RecordedClick();
  const news: News[] = [];
  const plan = { ...(await planFor('slipway', { bars: '1-2', drill })), followsPulse: true };
  let quit = () => {};
  const running = runSession(
    plan,
    {
      clock,
      click,
      record: new MemoryRecord(),
      sources: new Map([['player', modelOn(clock, 'model:exact')]]),
      followed: machine(clock, { begins, bpm, stopsAt, again }),
      onNews: (one) => news.push(one),
    },
    {
      sitting: 'test',
      leavesAlone: true,
      unicode: false,
      onStart: (control) => {
        quit = () => control('quit');
      },
    },
  );
  clock.advanceTo(minutes * 60_000_000);
  quit();
  await running;
  return { news, click };
}

/** A machine that plays: quarters from its start, a stop, another start. */
function machine(
  clock: SimulatedClock,
  {
    begins,
    bpm,
    stopsAt,
    again,
  }: Record<'begins' | 'bpm', number> & Record<'stopsAt' | 'again', number | undefined>,
): PulseSource {
  const quarterMicros = 60_000_000 / bpm;
  return {
    name: 'drum machine',
    start: (report) => {
      const run = (from: number, until: number) => {
        const tick = (quarter: number) => {
          const at = Math.round(from + quarter * quarterMicros);
          if (at >= until) return;
          clock.wakeAt(at, () => {
            if (quarter > 0) report({ quarterBpm: bpm, quarterAtMicros: at, quarter }, at);
            tick(quarter + 1);
          });
        };
        if (Number.isFinite(from)) tick(0);
      };
      run(begins, stopsAt ?? Number.POSITIVE_INFINITY);
      if (stopsAt !== undefined) clock.wakeAt(stopsAt, () => report(undefined, stopsAt));
      if (again !== undefined) run(again, Number.POSITIVE_INFINITY);
    },
    close: async () => {},
  };
}
