// A recorded take behind the same port as an instrument: its notes come at their own times, once, and then it says
// that it has ended.

import type { PlayerEvent } from '../music/player-event.ts';
import { microsAt } from '../music/timing.ts';
import type { Clock } from '../ports/clock.ts';
import type { PlayerSource, Prompt } from '../ports/player-source.ts';
import type { Recordings } from './recordings.ts';

/** Times are integer microseconds from the recording's zero. */
export interface RecordedNote {
  readonly pitch: number;
  readonly onMicros: number;
  readonly offMicros: number;
  /** 1 to 127. */
  readonly velocity: number;
  readonly channel: number;
}

/** A pedal, breath, pressure: `at` from the recording's zero. */
export type RecordedTouch = Extract<PlayerEvent, { readonly type: 'controller' | 'other' }>;

export type RecordingZero = 'prompt' | 'start' | 'entry';

export interface RecordedSourceOptions {
  readonly name?: string;
  /**
   * What the recording's zero is: the played time of tick 0 of the first step (`prompt`, the default), so that a take
   * recorded against the music's own time fits; the moment of `start`; or whatever makes the first note fall on the
   * first onset of the first step (`entry`), for a take that was recorded without regard to where it begins.
   */
  readonly zero?: RecordingZero;
  /** The first note only names the transposition and is none of the take: with `entry` the second falls on the first onset. */
  readonly isFirstNamed?: boolean;
  /** Those that play in one section: with `entry` they keep their places to each other, if they were recorded together. */
  readonly recordings?: Recordings;
  /** What was sent besides the notes. */
  readonly touches?: readonly RecordedTouch[];
}

export class RecordedSource implements PlayerSource {
  readonly name: string;
  readonly #clock: Clock;
  readonly #notes: readonly RecordedNote[];
  readonly #zero: RecordingZero;
  readonly #firstMicros: number;
  readonly #touches: readonly RecordedTouch[];
  #report: ((event: PlayerEvent) => void) | undefined;
  readonly #recordings: Recordings | undefined;
  #begun = false;
  #cancels: (() => void)[] = [];
  /** Pitch and channel of what sounds. */
  readonly #sounding = new Map<string, RecordedNote>();

  constructor(clock: Clock, notes: readonly RecordedNote[], options: RecordedSourceOptions = {}) {
    this.#clock = clock;
    this.#notes = notes;
    this.#zero = options.zero ?? 'prompt';
    const onsets = notes.map(({ onMicros }) => onMicros).sort((a, b) => a - b);
    this.#firstMicros = (options.isFirstNamed ? onsets[1] : undefined) ?? onsets[0] ?? 0;
    this.#touches = options.touches ?? [];
    this.name = options.name ?? 'recorded take';
    this.#recordings = this.#zero === 'entry' ? options.recordings : undefined;
    this.#recordings?.enter();
  }

  start(report: (event: PlayerEvent) => void): void {
    this.#report = report;
    if (this.#zero === 'start') this.#begin(this.#clock.nowMicros());
  }

  prompt({ run, line, zeroMicros }: Prompt): void {
    if (this.#zero === 'start') return;
    const [first] = line.onsets;
    const zeroFor = (tick: number) => zeroMicros + microsAt(run, tick) - this.#firstMicros;
    const isSilent = this.#notes.length === 0;
    if (this.#zero === 'prompt' || isSilent) this.#begin(zeroMicros);
    else if (!this.#recordings) this.#begin(zeroFor(first?.tick ?? run.startTick));
    this.#recordings?.join({
      ownZeroMicros: isSilent ? undefined : first && zeroFor(first.tick),
      begin: (zero) => this.#begin(zero),
    });
  }

  /** A recording cannot be told to stop: the notes after the end of a take are part of it. */
  hush(): void {}

  async close(): Promise<void> {
    for (const cancel of this.#cancels) cancel();
    this.#cancels = [];
    for (const note of [...this.#sounding.values()]) this.#letGo(note, this.#clock.nowMicros());
    this.#report = undefined;
  }

  #begin(zeroMicros: number): void {
    if (this.#begun) return;
    this.#begun = true;
    // Releases before strikes at one instant, so that a repeated pitch is let go before it is struck again.
    const events = this.#notes.flatMap((note) => [
      { at: zeroMicros + note.onMicros, strike: true, note },
      { at: zeroMicros + Math.max(note.offMicros, note.onMicros + 1), strike: false, note },
    ]);
    events.sort((a, b) => a.at - b.at || Number(a.strike) - Number(b.strike));
    this.#cancels = events.map(({ at, strike, note }) =>
      this.#clock.wakeAt(at, () => (strike ? this.#strike(note, at) : this.#release(note, at))),
    );
    for (const touch of this.#touches) {
      const at = zeroMicros + touch.at;
      this.#cancels.push(this.#clock.wakeAt(at, () => this.#report?.({ ...touch, at })));
    }
    const end = Math.max(this.#clock.nowMicros(), events.at(-1)?.at ?? zeroMicros);
    this.#cancels.push(this.#clock.wakeAt(end, () => this.#report?.({ type: 'ended', at: end })));
  }

  #strike(note: RecordedNote, at: number): void {
    const held = this.#sounding.get(key(note));
    if (held) this.#letGo(held, at);
    this.#sounding.set(key(note), note);
    const { pitch, velocity, channel } = note;
    this.#report?.({ type: 'note-on', at, pitch, velocity, channel });
  }

  /** Only if it is still this note that sounds. */
  #release(note: RecordedNote, at: number): void {
    if (this.#sounding.get(key(note)) === note) this.#letGo(note, at);
  }

  #letGo(note: RecordedNote, at: number): void {
    this.#sounding.delete(key(note));
    this.#report?.({ type: 'note-off', at, pitch: note.pitch, channel: note.channel });
  }
}

function key(note: RecordedNote): string {
  return `${note.channel}/${note.pitch}`;
}
