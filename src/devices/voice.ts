// What Fettle sounds, through Web Audio: the same voices for the live context and for rendering off line, so that what is
// measured off line is what is heard.

import type { AudioBuffer, AudioNode, BaseAudioContext } from 'node-web-audio-api';
import { pitchToHz } from '../music/pitch.ts';
import { nearestFrame, shortSound } from './click-sound.ts';
import type { Sound, TimedSound } from './timed-sound.ts';

/**
 * A voice that has been scheduled; `stop` cuts it at a time of the context, or leaves it out when that is before it. The
 * library throws when a source is stopped twice: a note gets its own end only from `finish`, when no cut is likely.
 */
export interface Voice {
  stop(seconds: number): void;
  /** Lets it be over at its end; to be called before that. */
  finish(): void;
  /** When it is over by itself, in the context's seconds. */
  readonly endSeconds: number;
}

/** Attack and release of notes, seconds: too short to be heard as late, too long to crackle. */
const RAMP_SECONDS = 0.005;

export class Voices {
  readonly #context: BaseAudioContext;
  readonly #into: AudioNode;
  readonly #loudness: number;
  readonly #buffers = new Map<string, AudioBuffer>();

  constructor(context: BaseAudioContext, { into, loudness }: { into: AudioNode; loudness: number }) {
    this.#context = context;
    this.#into = into;
    this.#loudness = loudness;
  }

  /** Starts a sound at a time of the context, rounded to a whole sample. Undefined for what has no sound. */
  start(timed: TimedSound, seconds: number): Voice | undefined {
    const { sound } = timed;
    const rate = this.#context.sampleRate;
    const whole = nearestFrame(seconds, rate) / rate;
    if (sound.kind === 'note') return this.#note(sound, whole, (timed.endMicros - timed.atMicros) / 1e6);
    const buffer = this.#bufferOf(sound);
    if (!buffer) return undefined;
    const source = this.#context.createBufferSource();
    source.buffer = buffer;
    source.connect(this.#into);
    source.start(whole);
    return {
      stop: once((at) => source.stop(Math.max(0, at))),
      finish: () => {},
      endSeconds: whole + buffer.duration,
    };
  }

  #bufferOf(sound: Sound): AudioBuffer | undefined {
    const key = JSON.stringify(sound);
    const known = this.#buffers.get(key);
    if (known) return known;
    const samples = shortSound(sound, this.#context.sampleRate, this.#loudness);
    if (!samples) return undefined;
    const buffer = this.#context.createBuffer(1, samples.length, this.#context.sampleRate);
    buffer.copyToChannel(samples, 0);
    this.#buffers.set(key, buffer);
    return buffer;
  }

  #note(sound: { pitch: number; velocity: number }, start: number, seconds: number): Voice {
    const peak = 0.3 * this.#loudness * (sound.velocity / 127);
    const end = start + Math.max(seconds, 2 * RAMP_SECONDS);
    const level = this.#context.createGain();
    const tone = this.#context.createOscillator();
    tone.type = 'triangle';
    tone.frequency.value = pitchToHz(sound.pitch);
    level.gain.setValueAtTime(0, start);
    level.gain.linearRampToValueAtTime(peak, start + RAMP_SECONDS);
    level.gain.setValueAtTime(peak, end - RAMP_SECONDS);
    level.gain.linearRampToValueAtTime(0, end);
    tone.connect(level);
    level.connect(this.#into);
    tone.start(start);
    const stopTone = once((at) => tone.stop(Math.max(0, at)));
    const stop = (at: number) => {
      level.gain.cancelScheduledValues(at);
      level.gain.setTargetAtTime(0, at, RAMP_SECONDS / 3);
      stopTone(at + 2 * RAMP_SECONDS);
    };
    return { stop, finish: () => stopTone(end), endSeconds: end };
  }
}

function once(act: (seconds: number) => void): (seconds: number) => void {
  let done = false;
  return (seconds) => {
    if (done) return;
    done = true;
    act(seconds);
  };
}
