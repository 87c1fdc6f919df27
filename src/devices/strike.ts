// Everything that Fettle sounds is a strike: something that starts at a time and ends at a time, clicks and signals as
// well as notes. The plan holds what is to come for one output and hands it over when it is due; whatever was started
// is also ended, so that no note hangs. Pure; times are integer microseconds on the session's clock.

import type { ClickAccent } from '../drills/step.ts';
import type { SignalKind } from '../ports/click.ts';

export type Sound =
  | { readonly kind: 'click'; readonly accent: ClickAccent }
  /** A signal is two short sounds, 0 and 1. */
  | { readonly kind: 'signal'; readonly signal: SignalKind; readonly part: 0 | 1 }
  | { readonly kind: 'note'; readonly pitch: number; readonly velocity: number }
  /** One real-time byte of MIDI clock: no sound, but its time counts as much. */
  | { readonly kind: 'pulse'; readonly byte: number };

export interface Strike {
  readonly atMicros: number;
  readonly endMicros: number;
  readonly sound: Sound;
}

export type Due = { readonly type: 'start' | 'end'; readonly strike: Strike };

/** Long enough for a sound module to notice, short enough to end before the next division at any tempo. */
export const CLICK_MICROS = 40_000;
/** From the first to the second sound of a signal. */
const SIGNAL_GAP_MICROS = 110_000;

/** The two strikes of a signal that begins at a time. */
export function signalStrikes(signal: SignalKind, atMicros: number): Strike[] {
  return ([0, 1] as const).map((part) => {
    const start = atMicros + part * SIGNAL_GAP_MICROS;
    return { atMicros: start, endMicros: start + CLICK_MICROS, sound: { kind: 'signal', signal, part } };
  });
}

export class StrikePlan {
  /** By start, earliest first. */
  #coming: Strike[] = [];
  /** Started and not ended, with the time at which each ends now. */
  readonly #sounding = new Map<Strike, number>();

  add(strikes: readonly Strike[]): void {
    this.#coming = [...this.#coming, ...strikes].sort((a, b) => a.atMicros - b.atMicros);
  }

  /** When something is due next; Infinity when nothing is. */
  get nextMicros(): number {
    let next = this.#coming[0]?.atMicros ?? Number.POSITIVE_INFINITY;
    for (const end of this.#sounding.values()) next = Math.min(next, end);
    return next;
  }

  /** Everything due up to and including a time, in order; at one instant ends come before starts. */
  take(untilMicros: number): Due[] {
    const due: Due[] = [];
    while (this.nextMicros <= untilMicros) {
      const at = this.nextMicros;
      for (const [strike, end] of this.#sounding) {
        if (end !== at) continue;
        this.#sounding.delete(strike);
        due.push({ type: 'end', strike });
      }
      for (let strike = this.#coming[0]; strike?.atMicros === at; strike = this.#coming[0]) {
        this.#coming.shift();
        this.#sounding.set(strike, Math.max(strike.endMicros, at + 1));
        due.push({ type: 'start', strike });
      }
    }
    return due;
  }

  /** Drops what would start at or after a time, and ends by then what sounds; answers what sounds and is cut short. */
  silenceFrom(atMicros: number): Strike[] {
    this.#coming = this.#coming.filter((strike) => strike.atMicros < atMicros);
    this.#coming = this.#coming.map((strike) =>
      strike.endMicros > atMicros ? { ...strike, endMicros: atMicros } : strike,
    );
    const cut: Strike[] = [];
    for (const [strike, end] of this.#sounding) {
      if (end <= atMicros) continue;
      this.#sounding.set(strike, atMicros);
      cut.push(strike);
    }
    return cut;
  }

  /** Forgets what is to come; answers what still sounds. */
  stop(): Strike[] {
    const sounding = [...this.#sounding.keys()];
    this.#coming = [];
    this.#sounding.clear();
    return sounding;
  }
}
