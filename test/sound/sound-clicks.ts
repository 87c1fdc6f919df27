// Sounds clicks as the program does, with the main thread left alone or blocked; prints when each was to be heard.
// sound-clicks.ts '{"bpm":120,"clicks":32,"stallMs":200}'

import { monotonicMicros } from '../../src/devices/system-clock.ts';
import { openWorkerClick } from '../../src/devices/worker-click.ts';
import type { ClickAccent } from '../../src/drills/step.ts';
import { sleep, stallMainThread } from '../alsa/sequencer.ts';

export interface Asked {
  /** Beats a minute. */
  readonly bpm: number;
  readonly beats: number;
  /** Clicks a beat. */
  readonly divisions?: number;
  /** Beats a bar. */
  readonly bar?: number;
  /** The main thread is blocked so long at a time. */
  readonly stallMs?: number;
}

export interface Told {
  readonly clicks: readonly { readonly atMicros: number; readonly accent: ClickAccent }[];
}

const { bpm, beats, divisions = 1, bar = 4, stallMs } = JSON.parse(process.argv[2] ?? '{}') as Asked;
const click = await openWorkerClick({ sound: 'default', loudness: 1 });
if (!click.ok) throw new Error(click.problem.message);
const zero = monotonicMicros() + 500_000;
const clicks = Array.from({ length: beats * divisions }, (_, i) => ({
  atMicros: Math.round(zero + (i * 60_000_000) / (bpm * divisions)),
  accent: accentOf(i),
}));
const release = stallMs === undefined ? undefined : stallMainThread(stallMs);
click.value.schedule(clicks);
const leftMs = () => (clicks.at(-1)!.atMicros - monotonicMicros()) / 1000 + 300;
while (leftMs() > 0) await sleep(Math.min(50, leftMs()));
release?.();
await click.value.close();
const told: Told = { clicks };
console.log(JSON.stringify(told));

function accentOf(index: number): ClickAccent {
  if (index % divisions !== 0) return 'division';
  return (index / divisions) % bar === 0 ? 'bar' : 'beat';
}
