// A click that sounds nothing and keeps what it was told, as a real one would have played it: silencing takes away
// what was to come.

import type { Click, ClickPort, SignalKind, SoundedNote } from '../ports/click.ts';

export interface Signal {
  readonly kind: SignalKind;
  readonly atMicros: number;
}

export class RecordedClick implements ClickPort {
  readonly name: string;
  #clicks: Click[] = [];
  #signals: Signal[] = [];
  #notes: SoundedNote[] = [];
  #silencedFrom: number[] = [];
  #closed = false;

  constructor(name = 'recorded click') {
    this.name = name;
  }

  /** By time. */
  get clicks(): readonly Click[] {
    return this.#clicks;
  }

  get signals(): readonly Signal[] {
    return this.#signals;
  }

  /** Notes cut short by silence end there. */
  get notes(): readonly SoundedNote[] {
    return this.#notes;
  }

  /** Every time that was given to silenceFrom, in order of asking. */
  get silencedFrom(): readonly number[] {
    return this.#silencedFrom;
  }

  get closed(): boolean {
    return this.#closed;
  }

  schedule(clicks: readonly Click[]): void {
    this.#assertOpen();
    this.#clicks = byTime([...this.#clicks, ...clicks]);
  }

  scheduleSignal(kind: SignalKind, atMicros: number): void {
    this.#assertOpen();
    this.#signals = byTime([...this.#signals, { kind, atMicros }]);
  }

  scheduleNotes(notes: readonly SoundedNote[]): void {
    this.#assertOpen();
    this.#notes = byTime([...this.#notes, ...notes]);
  }

  silenceFrom(atMicros: number): void {
    this.#silencedFrom.push(atMicros);
    this.#clicks = this.#clicks.filter((click) => click.atMicros < atMicros);
    this.#signals = this.#signals.filter((signal) => signal.atMicros < atMicros);
    this.#notes = this.#notes
      .filter((note) => note.atMicros < atMicros)
      .map((note) => ({ ...note, durationMicros: Math.min(note.durationMicros, atMicros - note.atMicros) }));
  }

  async close(): Promise<void> {
    this.#closed = true;
  }

  #assertOpen(): void {
    if (this.#closed) throw new Error('Cannot schedule a click: the click is closed');
  }
}

/** Ties stay in order of asking. */
function byTime<T extends { readonly atMicros: number }>(items: T[]): T[] {
  return items.sort((a, b) => a.atMicros - b.atMicros);
}
