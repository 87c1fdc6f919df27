// Where rendered clicks begin is found by code that knows nothing of how they were made: it looks for the first sample
// that is not silence after silence.
import { describe, expect, it } from 'vitest';
import { shortSound } from '../../src/devices/click-sound.ts';
import { renderSounds } from '../../src/devices/rendering.ts';
import { CLICK_MICROS, signalSounds, type TimedSound } from '../../src/devices/timed-sound.ts';
import { sample } from '../sample.ts';
import { hasSoundLibrary } from './sound-library.ts';

const RATE = 48_000;

function onsets(samples: Float32Array, silenceFrames: number): number[] {
  const found: number[] = [];
  let silent = silenceFrames;
  for (let frame = 0; frame < samples.length; frame += 1) {
    if (Math.abs(samples[frame]!) > 1e-3) {
      if (silent >= silenceFrames) found.push(frame);
      silent = 0;
    } else silent += 1;
  }
  return found;
}

/** A ladder of tempi, so many beats on each rung, until the time is over. */
function ladder(seconds: number): TimedSound[] {
  const sounds: TimedSound[] = [];
  let at = 0;
  for (let beat = 0; at < seconds * 1e6 - 1e6; beat += 1) {
    const bpm = 60 + ((Math.floor(beat / 16) * 7) % 140);
    sounds.push({
      atMicros: Math.round(at),
      endMicros: Math.round(at) + CLICK_MICROS,
      sound: { kind: 'click', accent: beat % 4 === 0 ? 'bar' : 'beat' },
    });
    at += 60_000_000 / bpm;
  }
  return sounds;
}

describe.skipIf(!hasSoundLibrary())('clicks rendered off line', () => {
  it('begin within one sample of their places, all through ten minutes (in the quick tests one) of changing tempi', async () => {
    const seconds = sample(600, 60);
    const sounds = ladder(seconds);
    expect(sounds.length).toBeGreaterThan(sample(1000, 60));
    const found = onsets(await renderSounds(sounds, { fromMicros: 0, seconds }), 2000);
    expect(found).toHaveLength(sounds.length);
    const worst = Math.max(...sounds.map((timed, i) => Math.abs(found[i]! - (timed.atMicros * RATE) / 1e6)));
    expect(worst).toBeLessThanOrEqual(1);
  });

  it('are the click’s samples themselves, not smeared between samples', async () => {
    const [timed] = ladder(2);
    const samples = await renderSounds([timed!], { fromMicros: -123_456, seconds: 1 });
    const begin = Math.round(0.123456 * RATE);
    const expected = shortSound(timed!.sound, RATE, 1)!;
    expect(Math.max(...expected.map((value, i) => Math.abs(value - samples[begin + i]!)))).toBeLessThan(1e-6);
  });

  it('have notes as long as they are asked, at their pitch', async () => {
    const note: TimedSound = {
      atMicros: 0,
      endMicros: 500_000,
      sound: { kind: 'note', pitch: 69, velocity: 100 },
    };
    const samples = await renderSounds([note], { fromMicros: 0, seconds: 1 });
    expect(Math.max(...samples.slice(0.501 * RATE).map(Math.abs))).toBe(0);
    // A4 = 440 Hz (ISO 16): so many rising zero crossings in 0.4 s.
    const middle = samples.slice(0.05 * RATE, 0.45 * RATE);
    const rising = middle.filter((value, i) => i > 0 && middle[i - 1]! < 0 && value >= 0).length;
    expect(Math.abs(rising - 176)).toBeLessThanOrEqual(1);
  });

  it('signal onward upwards and again downwards', async () => {
    const hz = async (signal: 'onward' | 'again') => {
      const samples = await renderSounds(signalSounds(signal, 0), { fromMicros: 0, seconds: 0.3 });
      return [0, 0.11].map((start) => {
        const part = samples.slice(start * RATE, (start + 0.03) * RATE);
        return part.filter((value, i) => i > 0 && part[i - 1]! < 0 && value >= 0).length;
      });
    };
    const [first, second] = await hz('onward');
    expect(second!).toBeGreaterThan(first!);
    expect(await hz('again')).toEqual([second, first]);
  });
});

describe('the click’s loudness', () => {
  it('is highest for the bar and never over full scale, also when bar and beat sound together', () => {
    const peak = (accent: 'bar' | 'beat' | 'division', loudness: number) =>
      Math.max(...shortSound({ kind: 'click', accent }, RATE, loudness)!.map(Math.abs));
    expect(peak('bar', 1)).toBeGreaterThan(peak('beat', 1));
    expect(peak('beat', 1)).toBeGreaterThan(peak('division', 1));
    expect(peak('bar', 1) + peak('beat', 1)).toBeLessThan(1);
    expect(peak('bar', 0.5)).toBeCloseTo(peak('bar', 1) / 2, 6);
  });
});
