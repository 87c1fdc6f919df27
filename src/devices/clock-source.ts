// Another machine's MIDI clock as a pulse to follow: every quarter is reported with the tempo it comes at, and the end,
// whether it is told (stop) or simply happens (a pulled plug, a machine switched off).

import { ok, type Result } from '../music/problem.ts';
import type { FollowedPulse, PulseSource } from '../ports/pulse.ts';
import { ClockFollower } from './midi-clock.ts';
import { STOP } from './midi-message.ts';
import { type MidiSource, openMidiSource } from './midi-source.ts';
import { SystemClock } from './system-clock.ts';

/** Longer than four clocks at the slowest tempo that is followed (10 a minute: 250 ms each): the stream has ended. */
const SILENCE_MICROS = 1_000_000;

/** Turns real-time bytes into reports. Pure but for the calls back. */
export class PulseListener {
  readonly #follower = new ClockFollower();
  readonly #report: (pulse: FollowedPulse | undefined, at: number) => void;
  #quarter: number | undefined;

  constructor(report: (pulse: FollowedPulse | undefined, at: number) => void) {
    this.#report = report;
  }

  take(byte: number, at: number): void {
    this.#follower.take(byte, at);
    if (byte === STOP) this.stop(at);
    const { followed } = this.#follower;
    // In the first quarter the tempo is not yet sure enough to plan a bar ahead.
    if (!followed || followed.quarter < 1 || followed.quarter === this.#quarter) return;
    this.#quarter = followed.quarter;
    const { tempoBpm, quarterAtMicros, quarter } = followed;
    this.#report({ quarterBpm: tempoBpm, quarterAtMicros, quarter }, at);
  }

  /** Nothing comes any more; said once. */
  stop(at: number): void {
    if (this.#quarter === undefined) return;
    this.#quarter = undefined;
    this.#report(undefined, at);
  }
}

/** Opens the input of that name. Problems as of openMidiSource. */
export async function openClockSource(port: string): Promise<Result<PulseSource>> {
  let listener: PulseListener | undefined;
  const clock = new SystemClock();
  let cancel = () => {};
  const opened = await openMidiSource(port, {
    onClock: (byte, at) => {
      listener?.take(byte, at);
      cancel();
      cancel = clock.wakeAt(at + SILENCE_MICROS, () => listener?.stop(clock.nowMicros()));
    },
  });
  if (!opened.ok) return opened;
  const source: MidiSource = opened.value;
  return ok({
    name: source.name,
    start: (report) => {
      listener = new PulseListener(report);
      source.start((event) => {
        if (event.type === 'lost') listener?.stop(event.at);
      });
    },
    close: async () => {
      listener = undefined;
      cancel();
      await source.close();
    },
  });
}
