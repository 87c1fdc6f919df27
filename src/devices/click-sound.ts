// The sound of the click, as arithmetic: short decaying tones that begin at full height, so that where one starts is
// exact to the sample. The same samples are used live, off line and in tests. Samples from -1 to 1, mono.

import { pitchToHz } from '../music/pitch.ts';
import type { Sound } from './timed-sound.ts';

/** Length of every click and signal sound. */
export const CLICK_SOUND_SECONDS = 0.05;
/** The decay's time constant: quiet (-60 dB) after seven of them. */
const DECAY_SECONDS = 0.007;

/** Frequency in Hz and height (0 to 1) of the short sounds; undefined for what is not one. */
function toneOf(sound: Sound): { hz: number; height: number } | undefined {
  if (sound.kind === 'click') {
    return {
      bar: { hz: 1760, height: 0.5 },
      group: { hz: 1397, height: 0.42 },
      beat: { hz: 1175, height: 0.35 },
      division: { hz: 880, height: 0.18 },
    }[sound.accent];
  }
  if (sound.kind !== 'signal') return undefined;
  const high = (sound.signal === 'onward') === (sound.part === 1);
  return { hz: pitchToHz(high ? 79 : 72), height: 0.4 };
}

/** The samples of a click or a signal's part at `loudness` 0 to 1; undefined for notes, which last as long as asked. */
export function shortSound(
  sound: Sound,
  sampleRate: number,
  loudness: number,
): Float32Array<ArrayBuffer> | undefined {
  const tone = toneOf(sound);
  if (!tone) return undefined;
  const samples = new Float32Array(Math.round(CLICK_SOUND_SECONDS * sampleRate));
  const fade = Math.round(samples.length / 10);
  for (let i = 0; i < samples.length; i += 1) {
    const seconds = i / sampleRate;
    const out = Math.min(1, (samples.length - i) / fade);
    samples[i] =
      loudness *
      tone.height *
      Math.exp(-seconds / DECAY_SECONDS) *
      Math.cos(2 * Math.PI * tone.hz * seconds) *
      out;
  }
  return samples;
}

/** The whole sample nearest to a time: a start between two samples would be smeared over both. */
export function nearestFrame(seconds: number, sampleRate: number): number {
  return Math.round(seconds * sampleRate);
}
