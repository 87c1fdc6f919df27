// Listening to a steady stream of notes, without a click: from the first note until two seconds of silence, or so many
// seconds at most.

import type { Clock } from '../ports/clock.ts';
import type { PlayerSource } from '../ports/player-source.ts';

const SILENCE_MICROS = 2_000_000;
const LONGEST_MICROS = 15_000_000;
/** For the first note. */
const PATIENCE_MICROS = 30_000_000;

export interface Stream {
  readonly onsetsMicros: readonly number[];
  readonly end: 'silence' | 'asked' | 'lost';
  readonly reason?: string;
}

export function listenToStream(
  source: PlayerSource,
  clock: Clock,
  onStart?: (stop: () => void) => void,
): Promise<Stream> {
  const onsetsMicros: number[] = [];
  let over = false;
  let cancelSilence = () => {};
  let cancelLongest = () => {};
  return new Promise((resolve) => {
    const finish = (end: Stream['end'], reason?: string) => {
      if (over) return;
      over = true;
      cancelSilence();
      cancelLongest();
      resolve({ onsetsMicros, end, ...(reason === undefined ? {} : { reason }) });
    };
    cancelSilence = clock.wakeAt(clock.nowMicros() + PATIENCE_MICROS, () => finish('silence'));
    onStart?.(() => finish('asked'));
    source.start((event) => {
      if (event.type === 'lost') return finish('lost', event.reason);
      if (event.type === 'ended') return finish('silence');
      if (event.type !== 'note-on' || over) return;
      if (onsetsMicros.length === 0) {
        cancelLongest = clock.wakeAt(event.at + LONGEST_MICROS, () => finish('silence'));
      }
      onsetsMicros.push(event.at);
      cancelSilence();
      cancelSilence = clock.wakeAt(event.at + SILENCE_MICROS, () => finish('silence'));
    });
    // A recorded stream plays when it is told where it begins.
    source.prompt({
      run: {
        name: 'steady stream',
        tempo: { bpm: 60, beatTicks: 10_080 },
        pulse: 'free',
        startTick: 0,
        stopTick: 0,
        landing: false,
        joinsNext: false,
        leadInBeats: 0,
        holdBeats: 0,
        endTick: 0,
        clicks: [],
        beats: [],
      },
      line: {
        parts: [0],
        transposition: 0,
        onsets: [{ tick: 0, durationTicks: 10_080, notes: [], number: 1 }],
      },
      zeroMicros: clock.nowMicros(),
      attempt: 1,
    });
  });
}
