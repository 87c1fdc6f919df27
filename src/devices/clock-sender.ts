// Our own pulse as MIDI clock, so that a drum machine or another player's screen shares it. A stretch of clocks runs
// from the first click of a take's lead-in to the end of its hold; start is sent just before the first downbeat in it, so
// that the other machine's bars are ours, and stop at the end. A take that joins the one before goes on with its clocks,
// without a stop. A take without a click has no pulse to share.

import { TICKS_PER_QUARTER } from '../music/ticks.ts';
import { microsAt } from '../music/timing.ts';
import type { Prompt } from '../ports/player-source.ts';
import type { PulsePort } from '../ports/pulse.ts';
import { CLOCKS_PER_QUARTER, type ClockPulse } from './midi-clock.ts';
import { START, STOP, TIMING_CLOCK } from './midi-message.ts';

/** Where the pulses go: an outlet over MIDI (worker-click.ts). */
export interface ClockOutlet {
  scheduleClock(pulses: readonly ClockPulse[]): void;
  silenceFrom(atMicros: number): void;
  close(): Promise<void>;
}

/** A start comes so long before its first clock: a receiver needs time to make ready (as clockPulses in midi-clock.ts). */
const READY_MICROS = 1000;
/** A take begins where the one before ends, give or take rounding. */
const SEAM_MICROS = 2000;

export class ClockSender implements PulsePort {
  readonly #outlet: ClockOutlet;
  #zeroMicros: number | undefined;
  /** When the pulse ends as things stand; undefined when it is not running. */
  #endMicros: number | undefined;

  constructor(outlet: ClockOutlet) {
    this.#outlet = outlet;
  }

  lead({ run, zeroMicros }: Pick<Prompt, 'run' | 'zeroMicros'>): void {
    if (run.pulse === 'free' || zeroMicros === this.#zeroMicros) return;
    this.#zeroMicros = zeroMicros;
    const at = (tick: number) => zeroMicros + microsAt(run, tick);
    const endMicros = at(run.endTick);
    const joined =
      this.#endMicros !== undefined && Math.abs(at(run.startTick) - this.#endMicros) <= SEAM_MICROS;
    const from = joined ? run.startTick : Math.min(run.startTick, run.clicks[0]?.tick ?? run.startTick);
    if (joined) this.#outlet.silenceFrom(this.#endMicros! - SEAM_MICROS);
    const downbeat = run.clicks.find(({ tick, accent }) => tick >= from && accent === 'bar')?.tick ?? from;
    const clockTicks = TICKS_PER_QUARTER / CLOCKS_PER_QUARTER;
    const count = Math.max(1, Math.round((run.endTick - from) / clockTicks));
    const clocks = Array.from({ length: count }, (_, clock) => ({
      atMicros: at(from + clock * clockTicks),
      byte: TIMING_CLOCK,
    }));
    const start = joined ? [] : [{ atMicros: at(downbeat) - READY_MICROS, byte: START }];
    this.#outlet.scheduleClock([...start, ...clocks, { atMicros: endMicros, byte: STOP }]);
    this.#endMicros = endMicros;
  }

  silenceFrom(atMicros: number): void {
    if (this.#endMicros === undefined || atMicros >= this.#endMicros) return;
    this.#outlet.silenceFrom(atMicros);
    this.#outlet.scheduleClock([{ atMicros, byte: STOP }]);
    this.#endMicros = undefined;
    this.#zeroMicros = undefined;
  }

  /** The outlet stops what runs. */
  async close(): Promise<void> {
    await this.#outlet.close();
  }
}
