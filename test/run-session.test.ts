// The loop's duties when the world breaks: everything is closed, and what was finished is kept.

import { describe, expect, it } from 'vitest';
import { eventsOf } from '../src/record/entry.ts';
import { runSession } from '../src/run-session.ts';
import { MemoryRecord } from '../src/simulation/memory-record.ts';
import { RecordedClick } from '../src/simulation/recorded-click.ts';
import { RecordedTerminal } from '../src/simulation/recorded-terminal.ts';
import { SimulatedClock } from '../src/simulation/simulated-clock.ts';
import { modelOn, planFor } from './session/simulate.ts';

describe('the loop', () => {
  it('closes everything and keeps finished takes when the screen crashes', async () => {
    const world = await start();
    let frames = 0;
    const draw = world.terminal.draw.bind(world.terminal);
    world.terminal.draw = (frame) => {
      if (world.record.entries().length === 2 && ++frames > 3) throw new Error('the screen is broken');
      draw(frame);
    };
    const running = world.run();
    const failed = expect(running).rejects.toThrow('the screen is broken');
    world.clock.runUntilIdle(60_000_000);
    await failed;
    expect(world.record.entries()).toHaveLength(2);
    expect(world.click.closed).toBe(true);
  });

  it('ends with the reason when the record cannot be written', async () => {
    const world = await start();
    world.record.append = () => {
      throw new Error('the disk is full');
    };
    const failed = expect(world.run()).rejects.toThrow('the disk is full');
    world.clock.runUntilIdle(60_000_000);
    await failed;
    expect(world.click.closed).toBe(true);
  });

  it('draws no more than thirty frames a second', async () => {
    const world = await start();
    const running = world.run();
    world.clock.runUntilIdle(60_000_000);
    world.terminal.press('q');
    await running;
    expect(world.terminal.frames.length).toBeGreaterThan(20);
    expect(world.terminal.frames.length).toBeLessThan(30 * 60);
  });

  it('sounds the last take through the click port when r is pressed, as it was played', async () => {
    const world = await start();
    const running = world.run();
    let pressedAt = 0;
    const append = world.record.append.bind(world.record);
    world.record.append = (entry) => {
      append(entry);
      if (pressedAt > 0) return;
      pressedAt = world.clock.nowMicros();
      world.clock.wakeAt(pressedAt + 50_000, () => world.terminal.press('r'));
    };
    world.clock.runUntilIdle(60_000_000);
    world.terminal.press('q');
    await running;
    const [first] = world.record.entries();
    const played = eventsOf(first!).flatMap((event) => (event.type === 'note-on' ? [event] : []));
    expect(played.length).toBeGreaterThan(1);
    const heard = world.click.notes.slice(0, played.length);
    expect(heard.map(({ pitch }) => pitch)).toEqual(played.map(({ pitch }) => pitch));
    // At the same distance from each other, after the key.
    const offset = heard[0]!.atMicros - played[0]!.at;
    expect(heard.map(({ atMicros }) => atMicros - offset)).toEqual(played.map(({ at }) => at));
    expect(heard[0]!.atMicros).toBeGreaterThan(pressedAt);
  });

  it('ends at a key once the session is over', async () => {
    const world = await start();
    const running = world.run();
    world.clock.runUntilIdle(60_000_000);
    world.terminal.press('space');
    expect((await running).stage.kind).toBe('finished');
  });
});

// Helpers

async function start() {
  const clock = new SimulatedClock();
  const record = new MemoryRecord();
  const click = new RecordedClick();
  const terminal = new RecordedTerminal();
  const sources = new Map([['player', modelOn(clock, 'model:exact')]]);
  const plan = await planFor('slipway', { bars: '1', passes: '1', tempo: '120' });
  const options = { sitting: 'test', leavesAlone: false, unicode: false };
  return {
    clock,
    record,
    click,
    terminal,
    run: () => runSession(plan, { clock, sources, click, record, terminal }, options),
  };
}
