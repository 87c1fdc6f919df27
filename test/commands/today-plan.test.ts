// Today's plan of what was worked in other ways than the plainest: every slice can be worked as it is told.

import { rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ownFolder } from '../own-folder.ts';
import { fettle } from './run.ts';

const folder = ownFolder();
const SIMULATED = '--from model:exact --fast --plain';

/** Works something, and then what the plan of ten minutes makes of it. */
async function planned(name: string, ...worked: string[]) {
  const record = join(folder, `${name}.db`);
  for (const words of worked)
    expect(await fettle(`${words} ${SIMULATED} --record ${record}`)).toMatchObject({ status: 0 });
  const plan = await fettle(`today --minutes 9 --record ${record}`);
  const ran = await fettle(`work --minutes 9 ${SIMULATED} --record ${record}`);
  return { plan: plan.out, ran };
}

describe("today's plan", () => {
  it('goes on with a drill as it was told', async () => {
    const { plan, ran } = await planned(
      'told',
      'work crosstide --bars 1-2 --drill widening --snag 5 --passes 1',
    );
    expect(plan).toContain('--drill widening --snag 5 --tempo');
    expect(ran).toMatchObject({ status: 0, err: '' });
    const runs = await planned(
      'runs',
      'work slipway --bars 1-2 --drill landings --every 2 --hold 1 --passes 1',
    );
    expect(runs.plan).toContain('--drill landings --every 2 --hold 1 --tempo');
    expect(runs.ran).toMatchObject({ status: 0, err: '' });
  });

  it('climbs to the goal from what was passed, each slice with its reason', async () => {
    const { plan, ran } = await planned('faster', 'work slipway --bars 1-2 --tempo 48 --passes 1');
    expect(plan).toContain('fettle work slipway --onsets 1-12 --drill landings --ladder 48-72');
    expect(plan).toContain('clean at 48: up the ladder to 72.');
    expect(ran.out).toContain('Slice 2 of 3, 3 minutes.');
    expect(ran.status).toBe(0);
  });

  it('goes on up a ladder from the rung where it was left', async () => {
    const climbing = 'work slipway --bars 1-2 --ladder 48-72 --minutes 3';
    const { plan, ran } = await planned('rung', climbing);
    expect(plan).toContain('--drill landings --ladder 48-72');
    expect(plan).toContain('on up the ladder, to 72');
    expect(ran.out).toMatch(/The ladder goes on from rung \d+/);
    expect(ran.status).toBe(0);
  });

  it('asks of a ladder whose goal was held whether it still is', async () => {
    const { plan, ran } = await planned('held', 'work slipway --bars 2 --ladder 66-72');
    expect(plan).toContain('--drill landings --ladder 66-72');
    expect(plan).toContain('clean last time: see whether it held');
    expect(plan).not.toContain('on up the ladder');
    expect(ran.status).toBe(0);
  });

  it('goes on with the drill that it is about, not with what was its last slice', async () => {
    const { ran } = await planned('around', 'work slipway --bars 1-2 --ladder 48-72 --minutes 3');
    expect(ran.out).toContain('in its context');
    const next = await fettle(`today --minutes 9 --record ${join(folder, 'around.db')}`);
    expect(next.out.match(/fettle work .*/)![0]).toBe(
      'fettle work slipway --onsets 1-12 --drill landings --ladder 48-72',
    );
  });

  it('begins with landings where there have only been run-throughs', async () => {
    const { plan, ran } = await planned('surveyed', 'survey slipway --bars 1-2');
    expect(plan).toContain('--drill landings');
    expect(plan).toContain('after the run-throughs');
    expect(ran).toMatchObject({ status: 0, err: '' });
  });

  it('leaves out a passage whose file has gone, and works the others', async () => {
    const file = join(folder, 'gone.abc');
    writeFileSync(file, 'X:1\nT:Ebb\nM:4/4\nL:1/4\nQ:1/4=80\nK:C\nCDEF|GABc|\n');
    const words = '--bars 1 --passes 1';
    const record = join(folder, 'gone.db');
    for (const what of [file, 'slipway'])
      await fettle(`work ${what} ${words} ${SIMULATED} --record ${record}`);
    rmSync(file);
    const ran = await fettle(`work --minutes 12 ${SIMULATED} --record ${record}`);
    expect(ran.status).toBe(0);
    expect(ran.err.match(/left out/g)).toHaveLength(1);
    expect(ran.err).toContain('gone.abc');
    expect(ran.out.match(/done: /g)!.length).toBeGreaterThan(1);
  });
});
