// The click and the notes as sound on this machine's sound device. The audio clock counts samples of its own crystal,
// seen only in blocks and always a little late: it is followed like a driver's clock (offset-follower.ts), and strikes
// are handed over shortly before their time, so that they stay on the session's clock for hours. The sound library is
// optional and is loaded here.

import { existsSync, readdirSync } from 'node:fs';
import { EXIT, fail, ok, type Problem, type Result } from '../music/problem.ts';
import type { ClickOutput } from './click-worker.ts';
import { OffsetFollower } from './offset-follower.ts';
import type { Strike } from './strike.ts';
import { monotonicMicros } from './system-clock.ts';
import { type Voice, Voices } from './voice.ts';

/** Handed over this long before its time: more than the thread's sleep and the device's block, less than a beat. */
const LEAD_MICROS = 150_000;

/** Problems: 'sound.missing' where the library is not installed, 'sound.none' where there is no sound device. */
export async function openSoundOut({
  loudness,
  sink,
}: {
  loudness: number;
  sink: 'default' | 'none';
}): Promise<Result<ClickOutput>> {
  if (sink === 'default' && !mayHaveSound()) return fail(noDevice('this machine has none'));
  let library: typeof import('node-web-audio-api');
  try {
    library = await import('node-web-audio-api');
  } catch {
    return fail({
      code: 'sound.missing',
      message: 'Cannot sound the click: the optional sound library is not installed',
      hint: 'Install it with: npm install --no-save node-web-audio-api@1. The click over MIDI and on the screen works without.',
      exitStatus: EXIT.device,
    });
  }
  try {
    const context = new library.AudioContext({
      latencyHint: 'interactive',
      ...(sink === 'none' && { sinkId: { type: 'none' as const } }),
    });
    await context.resume();
    return ok(new SoundOut(context, loudness));
  } catch (error) {
    return fail(noDevice(error instanceof Error ? error.message : String(error)));
  }
}

class SoundOut implements ClickOutput {
  readonly leadMicros = LEAD_MICROS;
  readonly #context: import('node-web-audio-api').AudioContext;
  readonly #voices: Voices;
  readonly #started = new Map<Strike, Voice>();
  readonly #follower = new OffsetFollower({ creepPpm: 1000, slewPpm: 2000, jumpMicros: 20_000 });
  #lookedMicros = monotonicMicros();

  constructor(context: import('node-web-audio-api').AudioContext, loudness: number) {
    this.#context = context;
    this.#voices = new Voices(context, { into: context.destination, loudness });
    this.tend();
  }

  tend(): void {
    const audioMicros = this.#context.currentTime * 1e6;
    const now = monotonicMicros();
    this.#follower.look(now - audioMicros, { elapsedMicros: now - this.#lookedMicros, free: false });
    this.#lookedMicros = now;
    for (const [strike, voice] of this.#started) {
      if (voice.endSeconds * 1e6 < audioMicros) this.#started.delete(strike);
    }
  }

  start(strike: Strike): void {
    const voice = this.#voices.start(strike, this.#secondsOf(strike.atMicros));
    if (voice) this.#started.set(strike, voice);
  }

  /** Voices end by themselves. */
  end(): void {}

  cut(strike: Strike, atMicros: number): void {
    this.#started.get(strike)?.stop(Math.max(this.#secondsOf(atMicros), this.#context.currentTime));
  }

  close(): void {
    for (const voice of this.#started.values()) voice.stop(this.#context.currentTime);
    void this.#context.close();
  }

  /** The context's time of a moment, the device's own latency taken off where it is known. */
  #secondsOf(atMicros: number): number {
    const { baseLatency, outputLatency } = this.#context;
    const latency = (baseLatency || 0) + (outputLatency || 0);
    return Math.max(0, (atMicros - (this.#follower.offsetMicros ?? 0)) / 1e6 - latency);
  }
}

/** On Linux, opening a device that is not there prints the system's own lines over the screen: look first. */
function mayHaveSound(): boolean {
  if (process.platform !== 'linux') return true;
  const runtime = process.env.XDG_RUNTIME_DIR;
  if (process.env.PULSE_SERVER || (runtime && existsSync(`${runtime}/pulse/native`))) return true;
  if (runtime && existsSync(`${runtime}/pipewire-0`)) return true;
  try {
    return readdirSync('/dev/snd').some((name) => /^pcm.*p$/.test(name));
  } catch {
    return false;
  }
}

function noDevice(why: string): Problem {
  return {
    code: 'sound.none',
    message: `Cannot sound the click: no sound device (${why.split('\n')[0]})`,
    hint: 'Use the click over MIDI, or the one on the screen.',
    exitStatus: EXIT.device,
  };
}
