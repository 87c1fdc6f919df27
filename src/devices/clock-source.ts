// Another machine's MIDI clock as a pulse to follow: every quarter is reported with the tempo it comes at, and the end,
// whether it is told (stop) or simply happens (a pulled plug, a machine switched off).

import type { FollowedPulse, PulseSource } from '../ports/pulse.ts';
import { ok, type Result } from '../problem.ts';
import { CLOCKS_PER_QUARTER } from './midi-clock.ts';
import { CONTINUE, START, STOP, TIMING_CLOCK } from './midi-message.ts';
import { type MidiSource, openMidiSource } from './midi-source.ts';
import { fitPulse, LONGEST_FIT, SHORTEST_FIT } from './pulse-fit.ts';
import { SystemClock } from './system-clock.ts';

/** Clocks further apart than at 10 beats a minute are two streams. */
const LONGEST_GAP_MICROS = 250_000;

/** Longer than four clocks at the slowest tempo that is followed (10 a minute: 250 ms each): the stream has ended. */
const SILENCE_MICROS = 1_000_000;

/** Turns real-time bytes into reports. Pure but for the calls back. */
export class PulseListener {
  readonly #report: (pulse: FollowedPulse | undefined, at: number) => void;
  /** The latest clocks; `#count` have come since the start. */
  #times: number[] = [];
  #count = 0;
  #running = false;
  #reported = false;

  constructor(report: (pulse: FollowedPulse | undefined, at: number) => void) {
    this.#report = report;
  }

  take(byte: number, at: number): void {
    if (byte === STOP) this.stop(at);
    if (byte === START || byte === CONTINUE) {
      this.#running = true;
      this.#times = [];
      if (byte === START) this.#count = 0;
    }
    if (byte !== TIMING_CLOCK || !this.#running) return;
    const last = this.#times.at(-1);
    if (last !== undefined && at - last > LONGEST_GAP_MICROS) this.#times = [];
    this.#times.push(at);
    if (this.#times.length > LONGEST_FIT) this.#times.shift();
    this.#count += 1;
    const onQuarter = (this.#count - 1) % CLOCKS_PER_QUARTER === 0;
    if (onQuarter && this.#times.length >= SHORTEST_FIT) this.#tell(at);
  }

  /** Nothing comes any more; said once. */
  stop(at: number): void {
    this.#running = false;
    if (!this.#reported) return;
    this.#reported = false;
    this.#report(undefined, at);
  }

  #tell(at: number): void {
    const { firstMicros, clockMicros } = fitPulse(this.#times);
    this.#reported = true;
    const pulse = {
      quarterBpm: 60_000_000 / (clockMicros * CLOCKS_PER_QUARTER),
      quarterAtMicros: Math.round(firstMicros + (this.#times.length - 1) * clockMicros),
      quarter: (this.#count - 1) / CLOCKS_PER_QUARTER,
    };
    this.#report(pulse, at);
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
