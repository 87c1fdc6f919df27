// The computer keyboard as a small instrument, for trying Fettle out with nothing plugged in. Two rows of letters, by
// their places on a QWERTY keyboard: the home row is the white keys from the base note, the row above the black ones,
// an octave and a half in all. Its limits: a terminal tells when a key goes down and not when it comes up, so note
// lengths are made up; keys are stamped when they arrive, some milliseconds late and unevenly; a held key repeats; there
// is no loud and soft. Space, arrows, page keys, enter, escape and keys with control stay controls.

import type { PlayerEvent } from '../music/player-event.ts';
import type { Clock } from '../ports/clock.ts';
import type { PlayerSource } from '../ports/player-source.ts';
import type { Key } from '../ports/terminal.ts';

/** Said to the player when this source is chosen. */
export const KEYBOARD_LIMITS =
  'Tap, do not hold: it has no releases and coarse timing, good for trying out only.';

/** Semitones above the base note: a piano's keys laid over the two rows. */
const SEMITONES: Readonly<Record<string, number>> = {
  a: 0,
  w: 1,
  s: 2,
  e: 3,
  d: 4,
  f: 5,
  t: 6,
  g: 7,
  y: 8,
  h: 9,
  u: 10,
  j: 11,
  k: 12,
  o: 13,
  l: 14,
  p: 15,
  ';': 16,
  "'": 17,
};

/** How many semitones it reaches up from its lowest note. */
export const KEYBOARD_REACH = Math.max(...Object.values(SEMITONES));

/** Length given to every note, unless the next one comes before. */
const NOTE_MICROS = 250_000;
/**
 * A terminal repeats a held key at 10 to 50 a second; nobody strikes one finger so fast (7 a second). The first repeat
 * comes after a longer wait and cannot be told from a second strike.
 */
const REPEAT_MICROS = 110_000;
const VELOCITY = 80;
const CHANNEL = 1;

export interface KeyboardSettings {
  /** Sounding pitch of the letter a; 60 unless told. The session puts it where the passage lies. */
  readonly basePitch?: number;
}

/** A base note, some C, from which the pitches are within reach as far as they can be. @example basePitchFor([67, 79]) // 67 */
export function basePitchFor(pitches: readonly number[]): number {
  const lowest = Math.min(...pitches);
  const highest = Math.max(...pitches);
  const fromC = Math.floor(lowest / 12) * 12;
  return highest - fromC <= KEYBOARD_REACH ? fromC : lowest;
}

/** The pitch of a key, or undefined where it is not one of the instrument's. */
export function pitchOfKey(key: Key, basePitch = 60): number | undefined {
  const semitones = SEMITONES[key.name];
  if (semitones === undefined) return undefined;
  const pitch = basePitch + semitones;
  return pitch >= 0 && pitch <= 127 ? pitch : undefined;
}

/** The letter of every pitch within reach. */
export function lettersByPitch(basePitch: number): ReadonlyMap<number, string> {
  return new Map(Object.entries(SEMITONES).map(([letter, semitones]) => [basePitch + semitones, letter]));
}

export class KeyboardSource implements PlayerSource {
  readonly name = 'computer keyboard';
  readonly #clock: Clock;
  readonly #basePitch: number;
  #report: ((event: PlayerEvent) => void) | undefined;
  #held: { pitch: number; letGo: () => void } | undefined;
  #last: { pitch: number; at: number } | undefined;

  constructor(clock: Clock, { basePitch = 60 }: KeyboardSettings = {}) {
    this.#clock = clock;
    this.#basePitch = basePitch;
  }

  start(report: (event: PlayerEvent) => void): void {
    this.#report = report;
  }

  /** Offers a key; true when it was a note of this instrument and is not to be taken as a control. */
  press(key: Key): boolean {
    const pitch = pitchOfKey(key, this.#basePitch);
    if (pitch === undefined) return false;
    const at = this.#clock.nowMicros();
    const repeated = this.#last?.pitch === pitch && at - this.#last.at < REPEAT_MICROS;
    this.#last = { pitch, at };
    if (!repeated) this.#strike(pitch, at);
    return true;
  }

  prompt(): void {}

  hush(): void {}

  async close(): Promise<void> {
    this.#letGo(this.#clock.nowMicros());
    this.#report = undefined;
  }

  #strike(pitch: number, at: number): void {
    this.#letGo(at);
    this.#report?.({ type: 'note-on', at, pitch, velocity: VELOCITY, channel: CHANNEL });
    const cancel = this.#clock.wakeAt(at + NOTE_MICROS, () => this.#letGo(this.#clock.nowMicros()));
    this.#held = { pitch, letGo: cancel };
  }

  #letGo(at: number): void {
    if (!this.#held) return;
    const { pitch, letGo } = this.#held;
    this.#held = undefined;
    letGo();
    this.#report?.({ type: 'note-off', at, pitch, channel: CHANNEL });
  }
}
