// What a sound server played, recorded from the other end of its sink, with the time of every frame; and what is read
// off recordings by looking at nothing but the samples. Shared with the tests over a loopback card (test/alsa).

import { spawn } from 'node:child_process';
import { monotonicMicros } from '../../src/devices/system-clock.ts';
import { sleep } from '../alsa/sequencer.ts';
import { before, SERVER_RATE, type SoundServer } from './sound-server.ts';

/** The left channel of 16-bit stereo. */
export interface Samples {
  readonly frames: number;
  at(frame: number): number;
}

export function samplesOf(pcm: Buffer): Samples {
  return { frames: Math.floor(pcm.length / 4), at: (frame) => pcm.readInt16LE(frame * 4) };
}

export interface OnsetSearch {
  /** Louder than this is sound, of 32,767. */
  readonly threshold?: number;
  /** After at least so much silence. */
  readonly quietMs?: number;
  readonly rate?: number;
}

/** Frames at which sound begins after silence. */
export function onsetFrames(
  { frames, at }: Samples,
  { threshold = 600, quietMs = 60, rate = SERVER_RATE }: OnsetSearch = {},
): number[] {
  const onsets: number[] = [];
  let quiet = 0;
  for (let frame = 0; frame < frames; frame += 1) {
    if (Math.abs(at(frame)) > threshold) {
      if (quiet > (quietMs * rate) / 1000) onsets.push(frame);
      quiet = 0;
    } else quiet += 1;
  }
  return onsets;
}

/** The loudest sample within some milliseconds from a frame on. */
export function peakFrom({ frames, at }: Samples, frame: number, ms: number): number {
  let peak = 0;
  const end = Math.min(frames, frame + Math.round((ms * SERVER_RATE) / 1000));
  for (let i = frame; i < end; i += 1) peak = Math.max(peak, Math.abs(at(i)));
  return peak;
}

/** The last frame that is louder than the threshold; -1 where all is silent. */
export function lastSound({ frames, at }: Samples, threshold = 100): number {
  for (let frame = frames - 1; frame >= 0; frame -= 1) if (Math.abs(at(frame)) > threshold) return frame;
  return -1;
}

export interface Recording {
  readonly samples: Samples;
  /** When a frame was played, microseconds on the clock of every process here (monotonicMicros). */
  microsOf(frame: number): number;
  /** How much faster the sink's clock runs than the system's, millionths; from a fit over the whole recording. */
  readonly ratePpm: number;
}

/** Records what the server plays from now until `stop`. */
export async function record(server: SoundServer): Promise<{ stop(): Promise<Recording> }> {
  const words = `--latency-msec=5 -d fettle.monitor --rate=${SERVER_RATE} --channels=2 --format=s16le --raw`;
  const recorder = spawn(...before('parec', words.split(' ')), {
    stdio: ['ignore', 'pipe', 'ignore'],
    env: server.env,
  });
  const pieces: Buffer[] = [];
  const arrivals: { frame: number; atMicros: number }[] = [];
  let bytes = 0;
  recorder.stdout.on('data', (piece: Buffer) => {
    pieces.push(piece);
    bytes += piece.length;
    arrivals.push({ frame: bytes / 4, atMicros: monotonicMicros() });
  });
  const ended = new Promise((resolve) => recorder.on('close', resolve));
  for (let waited = 0; bytes === 0; waited += 10) {
    if (waited > 60_000) throw new Error('Nothing can be recorded from the sound server');
    await sleep(10);
  }
  return {
    async stop() {
      recorder.kill('SIGINT');
      await ended;
      const pcm = Buffer.concat(pieces);
      const { zeroMicros, microsPerFrame } = soonestLine(arrivals);
      return {
        samples: samplesOf(pcm),
        microsOf: (frame) => zeroMicros + frame * microsPerFrame,
        ratePpm: (1e6 / SERVER_RATE / microsPerFrame - 1) * 1e6,
      };
    },
  };
}

// Helpers

/** Arrivals are late, never early: the line through the soonest of the first and of the last third. */
function soonestLine(arrivals: readonly { frame: number; atMicros: number }[]): {
  zeroMicros: number;
  microsPerFrame: number;
} {
  const nominal = 1e6 / SERVER_RATE;
  const soonest = (some: typeof arrivals) =>
    some.reduce((best, one) => (lateness(one) < lateness(best) ? one : best));
  const lateness = ({ frame, atMicros }: { frame: number; atMicros: number }) => atMicros - frame * nominal;
  const third = Math.ceil(arrivals.length / 3);
  const a = soonest(arrivals.slice(0, third));
  const b = soonest(arrivals.slice(-third));
  const microsPerFrame = b.frame > a.frame ? (b.atMicros - a.atMicros) / (b.frame - a.frame) : nominal;
  return { zeroMicros: a.atMicros - a.frame * microsPerFrame, microsPerFrame };
}
