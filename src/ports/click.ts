// The click and everything else that Fettle sounds. Scheduled ahead; never delayed by a screen or a disk.

import type { ClickAccent } from '../drills/step.ts';

export interface Click {
  readonly atMicros: number;
  readonly accent: ClickAccent;
}

/** Two short sounds that tell the verdict before a word is read. */
export type SignalKind = 'onward' | 'again';

/** A note to be heard: a step heard first. */
export interface SoundedNote {
  readonly atMicros: number;
  readonly durationMicros: number;
  readonly pitch: number;
  readonly velocity: number;
}

export interface ClickPort {
  readonly name: string;
  /** Where nothing can be heard: a sentence that says so and what to do. */
  readonly unheard?: string;
  /** Where nothing can be heard and nobody has asked for silence: a sentence for before the first click. */
  readonly silence?: string;
  schedule(clicks: readonly Click[]): void;
  scheduleSignal(kind: SignalKind, atMicros: number): void;
  scheduleNotes(notes: readonly SoundedNote[]): void;
  /** Drops everything scheduled at or after a time; notes that sound are let go. */
  silenceFrom(atMicros: number): void;
  /** Asks to be told, in a sentence, when what sounds is lost in the middle, and when it is back. */
  onSoundNews?(tell: (sentence: string) => void): void;
  /** All notes off, outputs closed. */
  close(): Promise<void>;
}
