// How long the session takes: from a note coming in to its verdict inside the program, to the bytes for the terminal,
// and what a long session leaves in memory. Percentiles of many; the machine's own noise is in them.

import { PassThrough } from 'node:stream';
import { loadSpan } from '../../src/commands/passage-argument.ts';
import { planSession } from '../../src/commands/session-setup.ts';
import { openTerminal } from '../../src/devices/blessed-terminal.ts';
import type { PlayerEvent } from '../../src/music/player-event.ts';
import { draw } from '../../src/screen/draw.ts';
import { advance, nextWakeUp } from '../../src/session/advance.ts';
import { newSession, type Session, takeOf } from '../../src/session/session.ts';
import { simulate } from '../session/simulate.ts';

export async function benchSession(): Promise<void> {
  const span = await loadSpan('ropewalk', {});
  const plan = planSession(span, { drill: 'through', passes: '20', tempo: '76' });
  const output = Object.assign(new PassThrough(), { columns: 80, rows: 24, isTTY: true });
  output.resume();
  const input = Object.assign(new PassThrough(), { isTTY: true, setRawMode: () => input });
  const terminal = await openTerminal({ input: input as never, output: output as never });
  const noteTimes: number[] = [];
  const verdictTimes: number[] = [];
  const screenTimes: number[] = [];

  let session = newSession(plan);
  const step = (run: () => ReturnType<typeof advance>): void => {
    const began = process.hrtime.bigint();
    const result = run();
    const advanced = process.hrtime.bigint();
    session = result.session;
    if (result.effects.some((effect) => effect.type === 'news' && effect.news.kind === 'verdict'))
      verdictTimes.push(micros(began, advanced));
    else noteTimes.push(micros(began, advanced));
  };
  step(() => advance(session, { type: 'begin', at: 0 }));
  for (let take = 0; take < 12 && takeOf(session); take++) {
    for (const event of notesOf(session)) {
      wakeUntil(event.at);
      const began = process.hrtime.bigint();
      step(() => advance(session, { type: 'played', at: event.at, player: 'player', event }));
      terminal.draw(draw(session, { columns: 80, rows: 24 }, { unicode: true, source: 'bench' }));
      screenTimes.push(micros(began, process.hrtime.bigint()));
    }
    const { attempt } = session;
    while (session.attempt === attempt && nextWakeUp(session) !== undefined)
      wakeUntil(nextWakeUp(session)! + 1);
  }
  terminal.close();

  function wakeUntil(limit: number): void {
    for (let next = nextWakeUp(session); next !== undefined && next < limit; next = nextWakeUp(session)) {
      const at = next;
      step(() => advance(session, { type: 'wake', at }));
    }
  }

  console.log(`session: note or wake-up handled  ${percentiles(noteTimes)}`);
  console.log(`session: take judged (83 notes)   ${percentiles(verdictTimes)}`);
  console.log(`session: note-in to screen bytes  ${percentiles(screenTimes)}`);

  const before = heapMb();
  const long = planSession(span, { drill: 'landings', passes: '3' });
  const { session: ended } = await simulate(long, ['model:nervous,seed=3'], 240);
  console.log(
    `session: ${ended.takes} takes simulated; heap ${before.toFixed(1)} MB before, ${heapMb().toFixed(1)} MB after`,
  );
}

/** The step's notes at their time, each released before the next. */
function notesOf(session: Session): PlayerEvent[] {
  const take = takeOf(session);
  if (!take) return [];
  const perTick = 60_000_000 / (take.run.tempo.bpm * take.run.tempo.beatTicks);
  return take.lines[0]!.terms.line.onsets.flatMap((onset) =>
    onset.notes.map((note): PlayerEvent => {
      const at = Math.round(take.zeroMicros + onset.tick * perTick);
      return { type: 'note-on', at, pitch: note.pitch, velocity: 80, channel: 0 };
    }),
  );
}

export function micros(from: bigint, to: bigint): number {
  return Number(to - from) / 1000;
}

export function percentiles(times: readonly number[]): string {
  const sorted = [...times].sort((a, b) => a - b);
  const at = (share: number) =>
    `${Math.round(sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))]!)} µs`;
  return `p50 ${at(0.5)}, p99 ${at(0.99)}, most ${at(1)} (${sorted.length})`;
}

export function heapMb(): number {
  (globalThis as { gc?: () => void }).gc?.();
  return process.memoryUsage().heapUsed / 1e6;
}
