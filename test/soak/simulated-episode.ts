// One session on the simulated clock, with a drill, a player and troubles that follow from a seed, and what must be true
// of it whatever happened.

import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { loadSpan } from '../../src/commands/passage-argument.ts';
import type { SessionOptions } from '../../src/commands/session-options.ts';
import { planSession } from '../../src/commands/session-setup.ts';
import { need } from '../../src/commands/usage-problem.ts';
import { RESCUE_FILE } from '../../src/devices/rescuing-record.ts';
import { DRILL_NAMES } from '../../src/drills/catalogue.ts';
import { ProblemError } from '../../src/problem.ts';
import { runSession } from '../../src/run-session.ts';
import { CONTROLS, type Control } from '../../src/session/event.ts';
import { PlayerModel } from '../../src/simulation/player-model.ts';
import { PROFILE_NAMES } from '../../src/simulation/profile.ts';
import type { Random } from '../../src/simulation/random.ts';
import { readProfile } from '../../src/simulation/read-profile.ts';
import { SimulatedClock } from '../../src/simulation/simulated-clock.ts';
import { HeardClick } from './heard-click.ts';
import { type Absence, CountingRecord, FullDiskRecord, losing } from './trouble-ports.ts';

const SECOND = 1_000_000;
const PASSAGES = ['crosstide', 'fogbell', 'lamplighter', 'lanterns', 'mudlarks', 'ropewalk', 'slipway'];
/** A drill that does not fit a span is refused; another span is drawn then. */
const MOST_DRAWS = 50;

export interface SoakFigures {
  readonly drill: string;
  readonly takes: number;
  readonly rescued: number;
  readonly noteOns: number;
  /** How long the session was, in its own time. */
  readonly micros: number;
}

/** Throws an Error that says what was not true. */
export async function simulatedEpisode(random: Random): Promise<SoakFigures> {
  const { plan, drill } = await drawPlan(random);
  const clock = new SimulatedClock();
  const click = new HeardClick(clock);
  const lengthMicros = random.integer(20, 600) * SECOND;
  const folder = mkdtempSync(join(tmpdir(), 'fettle-soak-'));
  const disk = new FullDiskRecord();
  const record = new CountingRecord(disk, [random.chance(0.8) ? folder : join(folder, 'nowhere')]);
  try {
    for (const { fromMicros, toMicros } of drawAbsences(random, lengthMicros, 0.4)) {
      clock.wakeAt(fromMicros, () => {
        disk.full = true;
      });
      clock.wakeAt(toMicros, () => {
        disk.full = false;
      });
    }
    const profile = need(readProfile(`${random.pick(PROFILE_NAMES)},seed=${random.integer(1, 1e6)}`));
    const source = losing(new PlayerModel(clock, profile), clock, drawAbsences(random, lengthMicros, 0.4));
    let verdicts = 0;
    let control: (asked: Control) => void = () => {};
    const running = runSession(
      plan,
      {
        clock,
        sources: new Map(plan.players.map(({ id }) => [id, source])),
        click,
        record,
        tell: () => {},
        onNews: ({ kind }) => {
          if (kind === 'verdict') verdicts += 1;
        },
      },
      {
        sitting: clock.date().toISOString(),
        leavesAlone: true,
        unicode: true,
        onStart: (given) => {
          control = given;
        },
      },
    );
    for (let presses = random.integer(0, 12); presses > 0; presses -= 1) {
      const asked = random.pick(CONTROLS.filter((one) => one !== 'quit'));
      clock.wakeAt(random.integer(0, lengthMicros), () => control(asked));
    }
    clock.runUntilIdle(lengthMicros);
    // Somebody leaves, also from a pause that nobody ended; the disk has room again.
    disk.full = false;
    control('quit');
    await Promise.race([running, late()]);
    // What was held back is written now: the record closes, and its disk stays open to be looked at.
    record.close();
    const rescued = record.rescued.length;
    const kept = disk.kept;
    const files = readdirSync(folder).filter((name) => RESCUE_FILE.test(name)).length;
    if (files !== rescued) throw new Error(`${rescued} takes were saved in files, and there are ${files}`);
    if (verdicts > record.asked) throw new Error(`${verdicts} takes were judged, ${record.asked} kept`);
    if (kept + rescued !== record.asked)
      throw new Error(
        `${record.asked} takes were to be kept, ${kept} are in the record, ${rescued} in files`,
      );
    if (click.sounding.length > 0) throw new Error(`left sounding: ${click.sounding.join(', ')}`);
    return { drill, takes: record.asked, rescued, noteOns: click.noteOns, micros: clock.nowMicros() };
  } finally {
    rmSync(folder, { recursive: true });
  }
}

async function drawPlan(random: Random) {
  for (let draw = 0; draw < MOST_DRAWS; draw += 1) {
    const passage = random.pick(PASSAGES);
    const drill = random.pick(DRILL_NAMES);
    const bar = random.integer(1, 8);
    try {
      const span = await loadSpan(passage, random.chance(0.2) ? {} : { bars: `${bar}` });
      const snag = random.integer(span.first, Math.max(span.first, span.last - 1));
      const options: SessionOptions = {
        drill,
        passes: String(random.integer(1, 3)),
        tolerance: random.pick(['rough', 'steady', 'concert']),
        ...(drill === 'widening' || drill === 'tenuto' ? { snag: String(snag) } : {}),
        quiet: random.chance(0.3),
      };
      const ladder: SessionOptions = { ...options, ladder: '60-96' };
      const { passes: _, ...climbing } = ladder;
      return { plan: planSession(span, random.chance(0.25) ? climbing : options), drill };
    } catch (error) {
      if (!(error instanceof ProblemError)) throw error;
    }
  }
  throw new Error(`no drill fits in ${MOST_DRAWS} draws`);
}

/** Stretches within a session, with a chance of so much for each of three. */
function drawAbsences(random: Random, lengthMicros: number, chance: number): Absence[] {
  const third = Math.floor(lengthMicros / 3);
  return [0, 1, 2].flatMap((part) => {
    if (!random.chance(chance)) return [];
    const fromMicros = part * third + random.integer(0, Math.floor(third / 2));
    return [{ fromMicros, toMicros: fromMicros + random.integer(1, Math.floor(third / 2)) }];
  });
}

/** Real time: a session that is over on its own clock must end. */
function late(): Promise<never> {
  return new Promise((_, reject) => {
    setTimeout(() => reject(new Error('the session does not end')), 10_000).unref();
  });
}
