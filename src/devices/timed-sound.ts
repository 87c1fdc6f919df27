// Everything that Fettle sounds, clicks and signals as well as notes, starts at a time and ends at a time. The plan
// holds what is to come for one output and hands it over when it is due; whatever was started is also ended, so that no
// note hangs. Pure; times are integer microseconds on the session's clock.

import type { ClickAccent } from '../drills/step.ts';
import type { SignalKind } from '../ports/click.ts';

export type Sound =
  | { readonly kind: 'click'; readonly accent: ClickAccent }
  /** A signal is two short sounds, 0 and 1. */
  | { readonly kind: 'signal'; readonly signal: SignalKind; readonly part: 0 | 1 }
  | { readonly kind: 'note'; readonly pitch: number; readonly velocity: number }
  /** One real-time byte of MIDI clock: no sound, but its time counts as much. */
  | { readonly kind: 'pulse'; readonly byte: number };

export interface TimedSound {
  readonly atMicros: number;
  readonly endMicros: number;
  readonly sound: Sound;
}

export type Due = { readonly type: 'start' | 'end'; readonly timed: TimedSound };

/** Long enough for a sound module to notice, short enough to end before the next division at any tempo. */
export const CLICK_MICROS = 40_000;
/** From the first to the second sound of a signal. */
const SIGNAL_GAP_MICROS = 110_000;

/** The two sounds of a signal that begins at a time. */
export function signalSounds(signal: SignalKind, atMicros: number): TimedSound[] {
  return ([0, 1] as const).map((part) => {
    const start = atMicros + part * SIGNAL_GAP_MICROS;
    return { atMicros: start, endMicros: start + CLICK_MICROS, sound: { kind: 'signal', signal, part } };
  });
}

export class SoundPlan {
  /** By start, earliest first. */
  #coming: TimedSound[] = [];
  /** Started and not ended, with the time at which each ends now. */
  readonly #sounding = new Map<TimedSound, number>();

  add(sounds: readonly TimedSound[]): void {
    this.#coming = [...this.#coming, ...sounds].sort((a, b) => a.atMicros - b.atMicros);
  }

  /** When something is due next; Infinity when nothing is. */
  get nextMicros(): number {
    let next = this.#coming[0]?.atMicros ?? Number.POSITIVE_INFINITY;
    for (const end of this.#sounding.values()) next = Math.min(next, end);
    return next;
  }

  /** Everything due up to and including a time, in order; at one instant ends come before starts. */
  handOver(untilMicros: number): Due[] {
    const due: Due[] = [];
    while (this.nextMicros <= untilMicros) {
      const at = this.nextMicros;
      for (const [timed, end] of this.#sounding) {
        if (end !== at) continue;
        this.#sounding.delete(timed);
        due.push({ type: 'end', timed });
      }
      for (let timed = this.#coming[0]; timed?.atMicros === at; timed = this.#coming[0]) {
        this.#coming.shift();
        this.#sounding.set(timed, Math.max(timed.endMicros, at + 1));
        due.push({ type: 'start', timed });
      }
    }
    return due;
  }

  /** Drops what would start at or after a time, and ends by then what sounds; answers what sounds and is cut short. */
  silenceFrom(atMicros: number): TimedSound[] {
    this.#coming = this.#coming.filter((timed) => timed.atMicros < atMicros);
    this.#coming = this.#coming.map((timed) =>
      timed.endMicros > atMicros ? { ...timed, endMicros: atMicros } : timed,
    );
    const cut: TimedSound[] = [];
    for (const [timed, end] of this.#sounding) {
      if (end <= atMicros) continue;
      this.#sounding.set(timed, atMicros);
      cut.push(timed);
    }
    return cut;
  }

  /** Forgets what is to come; answers what still sounds. */
  stop(): TimedSound[] {
    const sounding = [...this.#sounding.keys()];
    this.#coming = [];
    this.#sounding.clear();
    return sounding;
  }
}
