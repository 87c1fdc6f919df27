// The way of one played note: from the MIDI driver's callback into the follower and, once the run has stopped, through
// the verdict to the sentence on the screen. It is measured while it runs, by the call stacks at four ends of that way,
// and held against the drawing in DEVELOPERS.md.

import { readFile } from 'node:fs/promises';
import { type Debugger, Session as Inspector } from 'node:inspector';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';
import { InputKeeper } from '../src/devices/input-keeper.ts';
import type { MidiDriver } from '../src/devices/midi-driver.ts';
import { MidiSource } from '../src/devices/midi-source.ts';
import { align } from '../src/matching/align.ts';
import { follow } from '../src/matching/follow.ts';
import type { Clock } from '../src/ports/clock.ts';
import type { Prompt } from '../src/ports/player-source.ts';
import { ok } from '../src/problem.ts';
import { runSession } from '../src/run-session.ts';
import { MemoryRecord } from '../src/simulation/memory-record.ts';
import { RecordedClick } from '../src/simulation/recorded-click.ts';
import { RecordedTerminal } from '../src/simulation/recorded-terminal.ts';
import { SimulatedClock } from '../src/simulation/simulated-clock.ts';
import { troublesOf } from '../src/take/troubles.ts';
import { sentence } from '../src/wording/sentence.ts';
import { fiveNotesPlan } from './session/simulate.ts';

it('goes through the files that are drawn, fewer than fifteen, and fewer than 37 functions', async () => {
  const stacks = await stacksAt([follow, align, troublesOf, sentence], playFiveNotes);
  const files = [...new Set(stacks.flat().map(({ file }) => file))];
  const functions = new Set(stacks.flat().map(({ where }) => where));
  expect(files).toEqual(drawnFiles(await readFile(join(ROOT, 'DEVELOPERS.md'), 'utf8')));
  expect(files.length).toBeLessThan(15);
  expect(functions.size).toBeLessThan(37);
});

// Helpers

const ROOT = fileURLToPath(new URL('..', import.meta.url));

/** A function on the way. */
interface Station {
  readonly name: string;
  readonly file: string;
  /** Tells it from others of its name. */
  readonly where: string;
}

/** The files in the drawing under "One played note", each where it comes first. */
function drawnFiles(text: string): string[] {
  const drawing = text.split('### One played note')[1]!.split('```')[1]!;
  return [...new Set(drawing.match(/[\w/-]+\.ts/g))];
}

/**
 * Five notes from a MIDI input, the third and all after it 200 ms too soon; the screen tells it. On a machine that is
 * never idle, so that nothing is worked out ahead and the way is in one piece.
 */
async function playFiveNotes(): Promise<void> {
  const clock = new SimulatedClock();
  const neverIdle: Clock = {
    nowMicros: () => clock.nowMicros(),
    date: () => clock.date(),
    // What can be done at once is what is worked out ahead in an idle moment.
    wakeAt: (at, wake) => (at <= clock.nowMicros() ? () => {} : clock.wakeAt(at, wake)),
  };
  const input = new InputOfOurs(clock);
  const plan = await fiveNotesPlan('set drill through');
  const sources = new Map([[plan.players[0]!.id, input.source]]);
  const terminal = new RecordedTerminal();
  const ports = {
    clock: neverIdle,
    sources,
    click: new RecordedClick(),
    record: new MemoryRecord(),
    terminal,
  };
  const running = runSession(plan, ports, { sitting: 'test', leavesAlone: false, unicode: false });
  clock.runUntilIdle(14_000_000);
  terminal.press('q');
  await running;
  expect(JSON.stringify(terminal.frames)).toContain('x Rushed D4 to E4 by 200 ms');
}

/** The real ends of a MIDI input on one thread, with a driver of ours under them. */
class InputOfOurs {
  readonly source = new MidiSource('keys', {});

  constructor(clock: SimulatedClock) {
    let play: (deltaSeconds: number, bytes: number[]) => void = () => {};
    const driver: MidiDriver = {
      portNames: () => ['keys'],
      openInput: (_, onMessage) => {
        play = onMessage;
        return ok({ destroy: () => {} });
      },
      openOutput: () => ok({ send: () => {}, destroy: () => {} }),
    };
    const nowMicros = () => clock.nowMicros();
    const time = { monotonicMicros: nowMicros, calendarMicros: nowMicros };
    const report = this.source.hear.bind(this.source);
    new InputKeeper('keys', { driver, time, report, isTaken: () => false }).open();
    let lastMicros = 0;
    const prompt = ({ run, line, zeroMicros, attempt }: Prompt) => {
      if (attempt > 1) return;
      for (const [i, { tick, notes }] of line.onsets.entries()) {
        const asked = zeroMicros + (tick * 60_000_000) / (run.tempo.bpm * run.tempo.beatTicks);
        const at = Math.round(asked) - (i >= 2 ? 200_000 : 0);
        clock.wakeAt(at, () => {
          play((at - lastMicros) / 1e6, [0x90, notes[0]!.pitch, 70]);
          lastMicros = at;
        });
      }
    };
    Object.assign(this.source, { prompt });
  }
}

/** The call stack at the last call of each of these functions, outermost first; only what is in src. */
async function stacksAt(
  ends: readonly ((...args: never[]) => unknown)[],
  run: () => Promise<void>,
): Promise<Station[][]> {
  const inspector = new Inspector();
  inspector.connect();
  const files = new Map<string, string>();
  inspector.on('Debugger.scriptParsed', ({ params }) => files.set(params.scriptId, params.url));
  inspector.post('Debugger.enable');
  for (const end of ends) {
    Object.assign(globalThis, { endOfTheWay: end });
    inspector.post('Runtime.evaluate', { expression: 'endOfTheWay' }, (_, { result }) =>
      // Not in the types of Node 20; https://chromedevtools.github.io/devtools-protocol/v8/Debugger
      inspector.post('Debugger.setBreakpointOnFunctionCall', { objectId: result.objectId }),
    );
  }
  Object.assign(globalThis, { endOfTheWay: undefined });
  const stacks = new Map<string, Station[]>();
  inspector.on('Debugger.paused', ({ params }) => {
    const stations = params.callFrames.flatMap((frame) => stationOf(frame, files)).reverse();
    stacks.set(stations.at(-1)!.name, stations);
  });
  try {
    await run();
  } finally {
    inspector.disconnect();
  }
  return ends.map(({ name }) => stacks.get(name)!);
}

function stationOf(
  { functionName, functionLocation }: Debugger.CallFrame,
  files: ReadonlyMap<string, string>,
): Station[] {
  const { scriptId, lineNumber, columnNumber } = functionLocation!;
  const file = /\/src\/(.*)$/.exec(files.get(scriptId) ?? '')?.[1];
  if (file === undefined || file.startsWith('simulation/')) return [];
  return [{ name: functionName, file, where: `${file}:${lineNumber}:${columnNumber}` }];
}
