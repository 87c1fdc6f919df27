// The click as it goes out over MIDI, on a simulated clock: every byte is seen, so that a note that is left sounding
// cannot hide.

import { MidiOut } from '../../src/devices/midi-out.ts';
import { CLICK_MICROS, SoundPlan, signalSounds, type TimedSound } from '../../src/devices/timed-sound.ts';
import type { Click, ClickPort, SignalKind, SoundedNote } from '../../src/ports/click.ts';
import type { Clock } from '../../src/ports/clock.ts';

export class HeardClick implements ClickPort {
  readonly name = 'a MIDI output';
  readonly #clock: Clock;
  readonly #plan = new SoundPlan();
  readonly #sounding = new Set<string>();
  readonly #out = new MidiOut({ send: (bytes) => this.#hear(bytes), destroy: () => {} }, 1);
  #cancel: (() => void) | undefined;
  #noteOns = 0;

  constructor(clock: Clock) {
    this.#clock = clock;
  }

  /** Channel and pitch of every note that was begun and never let go. */
  get sounding(): readonly string[] {
    return [...this.#sounding];
  }

  get noteOns(): number {
    return this.#noteOns;
  }

  schedule(clicks: readonly Click[]): void {
    this.#add(
      clicks.map(({ atMicros, accent }) => ({
        atMicros,
        endMicros: atMicros + CLICK_MICROS,
        sound: { kind: 'click', accent },
      })),
    );
  }

  scheduleSignal(kind: SignalKind, atMicros: number): void {
    this.#add(signalSounds(kind, atMicros));
  }

  scheduleNotes(notes: readonly SoundedNote[]): void {
    this.#add(
      notes.map(({ atMicros, durationMicros, pitch, velocity }) => ({
        atMicros,
        endMicros: atMicros + durationMicros,
        sound: { kind: 'note', pitch, velocity },
      })),
    );
  }

  silenceFrom(atMicros: number): void {
    this.#plan.silenceFrom(atMicros);
    this.#wake();
  }

  async close(): Promise<void> {
    this.#cancel?.();
    this.#out.close();
  }

  #add(sounds: readonly TimedSound[]): void {
    this.#plan.add(sounds);
    this.#wake();
  }

  #wake(): void {
    this.#cancel?.();
    this.#cancel = undefined;
    const next = this.#plan.nextMicros;
    if (next === Number.POSITIVE_INFINITY) return;
    this.#cancel = this.#clock.wakeAt(next, () => {
      for (const { type, timed } of this.#plan.handOver(this.#clock.nowMicros())) {
        if (type === 'end') this.#out.end(timed);
        else this.#out.start(timed);
      }
      this.#wake();
    });
  }

  #hear([status = 0, pitch = 0]: readonly number[]): void {
    const key = `${status & 0x0f}/${pitch}`;
    if (status >> 4 === 9) {
      this.#noteOns += 1;
      this.#sounding.add(key);
    } else if (status >> 4 === 8) this.#sounding.delete(key);
  }
}
