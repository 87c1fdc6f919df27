// Strikes rendered off line, with the voices that sound live: for measuring, and for a practice track. The sound library
// is optional and is loaded here.

import type { Strike } from './strike.ts';
import { Voices } from './voice.ts';

/**
 * Mono samples from `fromMicros` (session time) on, `seconds` long. A strike before it is left out. Each begins at the
 * whole sample nearest to its time. Throws when the sound library is not installed.
 */
export async function renderStrikes(
  strikes: readonly Strike[],
  {
    fromMicros,
    seconds,
    sampleRate = 48_000,
    loudness = 1,
  }: {
    fromMicros: number;
    seconds: number;
    sampleRate?: number;
    loudness?: number;
  },
): Promise<Float32Array> {
  const { OfflineAudioContext } = await import('node-web-audio-api');
  const context = new OfflineAudioContext(1, Math.ceil(seconds * sampleRate), sampleRate);
  const voices = new Voices(context, { into: context.destination, loudness });
  for (const strike of strikes) {
    if (strike.atMicros >= fromMicros) voices.start(strike, (strike.atMicros - fromMicros) / 1e6);
  }
  const buffer = await context.startRendering();
  return buffer.getChannelData(0);
}
