// Sounds rendered off line, with the voices that sound live: for measuring, and for a practice track. The sound library
// is optional and is loaded here.

import { CLICK_SOUND_SECONDS, nearestFrame } from './click-sound.ts';
import type { TimedSound } from './timed-sound.ts';
import { Voices } from './voice.ts';

const PIECE_SECONDS = 10;
/** What a voice sounds on after its end at most. */
const TAIL_SECONDS = CLICK_SOUND_SECONDS;

/**
 * Mono samples from `fromMicros` (session time) on, `seconds` long. Each begins at the
 * whole sample nearest to its time; one before `fromMicros` is left out. Throws when the sound library is not installed.
 */
export async function renderSounds(
  sounds: readonly TimedSound[],
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
  const samples = new Float32Array(Math.ceil(seconds * sampleRate));
  const frameOf = (micros: number) => nearestFrame((micros - fromMicros) / 1e6, sampleRate);
  // Piece by piece: every voice of a context costs from its beginning on, so one context would cost time squared.
  const pieceFrames = PIECE_SECONDS * sampleRate;
  for (let piece = 0; piece < samples.length; piece += pieceFrames) {
    const begun = sounds.filter(({ atMicros }) => {
      const frame = frameOf(atMicros);
      return frame >= piece && frame < piece + pieceFrames;
    });
    if (begun.length === 0) continue;
    const last = Math.max(...begun.map(({ endMicros }) => frameOf(endMicros)), piece + pieceFrames);
    const length = last - piece + Math.ceil(TAIL_SECONDS * sampleRate);
    const context = new OfflineAudioContext(1, length, sampleRate);
    const voices = new Voices(context, { into: context.destination, loudness });
    for (const timed of begun) voices.start(timed, (frameOf(timed.atMicros) - piece) / sampleRate)?.finish();
    const rendered = (await context.startRendering()).getChannelData(0);
    const end = Math.min(rendered.length, samples.length - piece);
    for (let frame = 0; frame < end; frame += 1) samples[piece + frame]! += rendered[frame]!;
  }
  return samples;
}
