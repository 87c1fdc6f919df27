import { describe, expect, it } from 'vitest';
import { type Voice, Voices } from '../../src/devices/voice.ts';
import { hasSoundLibrary } from './sound-library.ts';

const RATE = 48_000;

/** Loudest sample of each tenth of a second of a note of half a second, after what is done to it. */
async function rendered(act: (voice: Voice) => void): Promise<number[]> {
  const { OfflineAudioContext } = await import('node-web-audio-api');
  const context = new OfflineAudioContext(1, RATE, RATE);
  const voices = new Voices(context, { into: context.destination, loudness: 1 });
  const timed = {
    atMicros: 0,
    endMicros: 500_000,
    sound: { kind: 'note', pitch: 69, velocity: 100 },
  } as const;
  act(voices.start(timed, 0)!);
  const samples = (await context.startRendering()).getChannelData(0);
  return Array.from({ length: 10 }, (_, tenth) =>
    samples
      .slice((tenth * RATE) / 10, ((tenth + 1) * RATE) / 10)
      .reduce((most, s) => Math.max(most, Math.abs(s)), 0),
  );
}

const sounding = (tenths: readonly number[]): string => tenths.map((t) => (t > 0.001 ? '+' : '-')).join('');

describe.skipIf(!hasSoundLibrary())('a note as sound', () => {
  it('is over at its end', async () => {
    expect(sounding(await rendered((voice) => voice.finish()))).toMatch(/^\+{5}[+-]-{4}$/);
  });

  it('is cut short, once or again, before or after its end was settled', async () => {
    const cut = /^\+\+[+-]-{7}$/;
    expect(sounding(await rendered((voice) => voice.stop(0.2)))).toMatch(cut);
    expect(
      sounding(
        await rendered((voice) => {
          voice.finish();
          voice.stop(0.2);
          voice.stop(0.2);
        }),
      ),
    ).toMatch(cut);
    expect(
      sounding(
        await rendered((voice) => {
          voice.stop(0.2);
          voice.finish();
        }),
      ),
    ).toMatch(cut);
  });
});
