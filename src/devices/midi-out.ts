// Sounds as MIDI. Clicks are General MIDI percussion on channel 10: 76 high wood block for the bar, 77 low wood block
// for the beat and softer for divisions (GM 1 percussion key map). Signals are two agogo strokes: rising (68, 67) for
// onward, falling for again. Notes go out on channel 1. Every note-on is followed by its note-off, whatever happens.

import type { OpenOutput } from './midi-driver.ts';
import { ALL_NOTES_OFF_CONTROLLER, STOP } from './midi-message.ts';
import type { Sound, TimedSound } from './timed-sound.ts';

const PERCUSSION = 9;
const NOTES = 0;
const HIGH_AGOGO = 67;
const LOW_AGOGO = 68;

interface Voice {
  /** 0 to 15, as in a status byte. */
  readonly channel: number;
  readonly pitch: number;
  readonly velocity: number;
}

/** @param loudness 0 to 1; velocities scale with it and never fall to 0, which would be a release */
function voiceOf(sound: Sound, loudness: number): Voice | undefined {
  const loud = (velocity: number) => Math.max(1, Math.min(127, Math.round(velocity * loudness)));
  switch (sound.kind) {
    case 'click': {
      const velocity = { bar: 127, group: 115, beat: 100, division: 60 }[sound.accent];
      return { channel: PERCUSSION, pitch: sound.accent === 'bar' ? 76 : 77, velocity: loud(velocity) };
    }
    case 'signal': {
      const rising = sound.signal === 'onward';
      const high = rising ? sound.part === 1 : sound.part === 0;
      return { channel: PERCUSSION, pitch: high ? HIGH_AGOGO : LOW_AGOGO, velocity: loud(110) };
    }
    case 'note':
      return { channel: NOTES, pitch: sound.pitch, velocity: loud(sound.velocity) };
    case 'pulse':
      return undefined;
  }
}

export class MidiOut {
  /** How long before its time a sound is handed over. */
  readonly leadMicros = 0;
  readonly #output: OpenOutput;
  readonly #loudness: number;
  /** What sounds, by channel and pitch: a note struck again before its end is let go first. */
  /** MIDI clock has been sent since the last stop. */
  #pulseRuns = false;
  readonly #sounding = new Map<number, TimedSound>();

  constructor(output: OpenOutput, loudness: number) {
    this.#output = output;
    this.#loudness = loudness;
  }

  start(timed: TimedSound): void {
    if (timed.sound.kind === 'pulse') {
      this.#output.send([timed.sound.byte]);
      this.#pulseRuns = timed.sound.byte !== STOP;
    }
    const voice = voiceOf(timed.sound, this.#loudness);
    if (!voice) return;
    const key = voice.channel * 128 + voice.pitch;
    if (this.#sounding.has(key)) this.#letGo(voice);
    this.#sounding.set(key, timed);
    this.#output.send([0x90 | voice.channel, voice.pitch, voice.velocity]);
  }

  end(timed: TimedSound): void {
    const voice = voiceOf(timed.sound, this.#loudness);
    if (!voice) return;
    const key = voice.channel * 128 + voice.pitch;
    if (this.#sounding.get(key) !== timed) return;
    this.#sounding.delete(key);
    this.#letGo(voice);
  }

  /** The plan ends what is cut: nothing more to do here. */
  cut(): void {}

  /** A running clock is stopped, every note let go by name, then all notes off for what a receiver may hold besides; the port closed. */
  close(): void {
    if (this.#pulseRuns) this.#output.send([STOP]);
    for (const timed of [...this.#sounding.values()]) this.end(timed);
    for (const channel of [NOTES, PERCUSSION])
      this.#output.send([0xb0 | channel, ALL_NOTES_OFF_CONTROLLER, 0]);
    this.#output.destroy();
  }

  #letGo(voice: Voice): void {
    this.#output.send([0x80 | voice.channel, voice.pitch, 64]);
  }
}
