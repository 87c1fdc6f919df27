// The click and the notes as sound on this machine's sound device. Sounds are handed over shortly before their time,
// placed on the audio clock as it runs then (sound-clock.ts), so that they stay on the session's clock for hours. The
// sound library is optional and is loaded here.

import { existsSync, readdirSync } from 'node:fs';
import { setTimeout as sleep } from 'node:timers/promises';
import { EXIT, fail, ok, type Problem, type Result } from '../problem.ts';
import type { ClickOutput } from './click-output.ts';
import { SoundClock } from './sound-clock.ts';
import { monotonicMicros } from './system-clock.ts';
import type { TimedSound } from './timed-sound.ts';
import { type Voice, Voices } from './voice.ts';

/** Handed over this long before its time: more than the thread's sleep and the device's block, less than a beat. */
const LEAD_MICROS = 150_000;
/**
 * What the device is given ahead: the library makes it 1024 frames. Its shortest, 128 frames, runs dry on a sound server
 * whenever the machine is busy, and every time the sound stumbles by tens of milliseconds.
 */
const BUFFER_FRAMES = 1024;
const LATENCY_HINT = 'playback';
/** The audio clock standing still for so long is no stumble: the device or its server is gone. */
const LOST_MICROS = 2_000_000;
const SETTLE_LOOK_MS = 8;
/** Two seconds. */
const LONGEST_SETTLE_LOOKS = 250;

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
      latencyHint: LATENCY_HINT,
      ...(sink === 'none' && { sinkId: { type: 'none' as const } }),
    });
    await context.resume();
    const out = new SoundOut(context, loudness);
    await out.settle();
    return ok(out);
  } catch (error) {
    return fail(noDevice(error instanceof Error ? error.message : String(error)));
  }
}

class SoundOut implements ClickOutput {
  readonly leadMicros = LEAD_MICROS;
  readonly #context: import('node-web-audio-api').AudioContext;
  readonly #voices: Voices;
  readonly #started = new Map<TimedSound, Voice>();
  readonly #clock = new SoundClock();
  #ran: { readonly audioMicros: number; readonly atMicros: number } | undefined;
  #lost = false;

  constructor(context: import('node-web-audio-api').AudioContext, loudness: number) {
    this.#context = context;
    this.#voices = new Voices(context, { into: context.destination, loudness });
  }

  /** Waits until the device runs and its clock is known; a device that never starts is left to be told by silence. */
  async settle(): Promise<void> {
    for (let look = 0; look < LONGEST_SETTLE_LOOKS && !this.#clock.settled; look += 1) {
      if (this.#context.currentTime > 0) this.tend();
      await sleep(SETTLE_LOOK_MS);
    }
  }

  get lost(): boolean {
    return this.#lost;
  }

  tend(): void {
    const audioMicros = this.#context.currentTime * 1e6;
    const atMicros = monotonicMicros();
    this.#clock.look(atMicros, audioMicros);
    if (audioMicros !== this.#ran?.audioMicros) this.#ran = { audioMicros, atMicros };
    this.#lost = atMicros - this.#ran.atMicros > LOST_MICROS;
    for (const [timed, voice] of this.#started) {
      if (voice.endSeconds * 1e6 < audioMicros) this.#started.delete(timed);
    }
  }

  start(timed: TimedSound): void {
    const voice = this.#voices.start(timed, this.#secondsOf(timed.atMicros));
    if (voice) this.#started.set(timed, voice);
  }

  end(timed: TimedSound): void {
    this.#started.get(timed)?.finish();
  }

  cut(timed: TimedSound, atMicros: number): void {
    this.#started.get(timed)?.stop(Math.max(this.#secondsOf(atMicros), this.#context.currentTime));
  }

  async close(): Promise<void> {
    for (const voice of this.#started.values()) voice.stop(this.#context.currentTime);
    // A device that is gone would not answer.
    if (!this.#lost) await this.#context.close();
  }

  /** The context's time of a moment, the device's own latency taken off; where it is not told, the buffer's. */
  #secondsOf(atMicros: number): number {
    const { baseLatency, outputLatency, sampleRate } = this.#context;
    const latency = (baseLatency || 0) + (outputLatency || 0) || BUFFER_FRAMES / sampleRate;
    return Math.max(0, this.#clock.secondsOf(atMicros) - latency);
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
