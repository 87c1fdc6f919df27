// The click as the session sees it: everything is handed to a worker thread ahead of its time. Closing lets every note
// go, also when the process ends without closing.

import { MessageChannel, type MessagePort, type Worker } from 'node:worker_threads';
import type { PlayerEvent } from '../music/player-event.ts';
import type { Click, ClickPort, SignalKind, SoundedNote } from '../ports/click.ts';
import { fail, ok, type Result } from '../problem.ts';
import {
  type ClickWorkerData,
  type FromClick,
  RAISED,
  STOP_ASKED,
  STOPPED,
  type ToClick,
} from './click-messages.ts';
import type { ClockPulse } from './midi-clock.ts';
import { choosePort } from './midi-ports.ts';
import { leadNativeLinesAway } from './native-lines.ts';
import { CLICK_MICROS, signalSounds, type TimedSound } from './timed-sound.ts';
import { startWorker } from './worker-entry.ts';

export interface WorkerClickSettings {
  /** Name of a MIDI output, or a part of it. */
  readonly midi?: string;
  /** As sound: on the default sound device, or on none at all (the audio clock runs, nothing is heard). */
  readonly sound?: 'default' | 'none';
  /** To no device at all, by the same path: for measurements. */
  readonly nowhere?: boolean;
  /** 0 to 1; starts low to spare the ears. */
  readonly loudness?: number;
  /** Called for every MIDI sound with how late it left, microseconds; for measurements. */
  readonly onLeft?: (lateMicros: number, atMicros: number) => void;
}

const START_LOUDNESS = 0.5;

/** How long the end of the process waits for the last note-offs. */
const FAREWELL_MS = 500;
/** How long closing waits for the devices. */
const CLOSING_MS = 5000;

/**
 * Opens the outputs asked for. Problems: those of choosePort and openOutput for MIDI; 'sound.missing' (the optional
 * library is not installed), 'sound.none' (no sound device), 'click.broken'.
 */
export async function openWorkerClick(settings: WorkerClickSettings): Promise<Result<WorkerClick>> {
  const midi = settings.midi === undefined ? undefined : await choosePort(settings.midi, 'output');
  if (midi && !midi.ok) return midi;
  const { port1: near, port2: far } = new MessageChannel();
  const shared = new Int32Array(new SharedArrayBuffer(3 * Int32Array.BYTES_PER_ELEMENT));
  const data: ClickWorkerData = {
    shared,
    port: far,
    loudness: settings.loudness ?? START_LOUDNESS,
    measured: settings.onLeft !== undefined,
    ...(midi && { midiRaw: midi.value.raw }),
    ...(settings.nowhere && { nowhere: true }),
    ...(settings.sound && { sound: { sink: settings.sound } }),
  };
  leadNativeLinesAway();
  const worker = startWorker(new URL('./click-worker', import.meta.url), data, [far]);
  const result = await new Promise<Extract<FromClick, { type: 'open' }>['result']>((resolve, reject) => {
    worker.on('error', reject);
    worker.on('message', (message: FromClick) => {
      if (message.type === 'open') resolve(message.result);
      else if (message.type === 'left') settings.onLeft?.(message.lateMicros, message.atMicros);
    });
  });
  if (!result.ok) {
    near.close();
    await worker.terminate();
    return fail(result.problem);
  }
  const names = [midi?.value.name, settings.sound && 'sound'].filter((name) => name !== undefined);
  return ok(new WorkerClick(names.join(' and '), { worker, port: near, shared }));
}

const SOUND_NEWS = {
  lost: 'The sound device takes no more sound: go on by the beat on the screen. It is tried again meanwhile.',
  found: 'The sound is back.',
  broken: 'The click broke off: go on by the beat on the screen. Start again to hear it.',
} as const;

export class WorkerClick implements ClickPort {
  readonly name: string;
  readonly #worker: Worker;
  readonly #port: MessagePort;
  readonly #shared: Int32Array;
  readonly #onExit = () => this.#stop();
  #closed = false;
  #tellSound: ((sentence: string) => void) | undefined;

  constructor(
    name: string,
    { worker, port, shared }: { worker: Worker; port: MessagePort; shared: Int32Array },
  ) {
    this.name = name;
    this.#worker = worker;
    this.#port = port;
    this.#shared = shared;
    worker.on('message', (message: FromClick) => {
      if (message.type === 'lost' || message.type === 'found') this.#tellSound?.(SOUND_NEWS[message.type]);
    });
    worker.on('error', () => this.#tellSound?.(SOUND_NEWS.broken));
    worker.unref();
    port.unref();
    process.on('exit', this.#onExit);
  }

  schedule(clicks: readonly Click[]): void {
    this.#sound(
      clicks.map(({ atMicros, accent }) => ({
        atMicros,
        endMicros: atMicros + CLICK_MICROS,
        sound: { kind: 'click', accent },
      })),
    );
  }

  scheduleSignal(kind: SignalKind, atMicros: number): void {
    this.#sound(signalSounds(kind, atMicros));
  }

  scheduleNotes(notes: readonly SoundedNote[]): void {
    this.#sound(
      notes.map(({ atMicros, durationMicros, pitch, velocity }) => ({
        atMicros,
        endMicros: atMicros + durationMicros,
        sound: { kind: 'note', pitch, velocity },
      })),
    );
  }

  /** MIDI clock, start and stop bytes at their times (clockPulses in midi-clock.ts); silent where there is no MIDI. */
  scheduleClock(pulses: readonly ClockPulse[]): void {
    this.#sound(
      pulses.map(({ atMicros, byte }) => ({ atMicros, endMicros: atMicros, sound: { kind: 'pulse', byte } })),
    );
  }

  /** Sounds what the player plays, at once, for an instrument that has no sound of its own; lets all go when it is lost. */
  soundOwn(event: PlayerEvent): void {
    if (event.type === 'note-on') this.#tell({ type: 'own', pitch: event.pitch, velocity: event.velocity });
    else if (event.type === 'note-off') this.#tell({ type: 'own', pitch: event.pitch, velocity: 0 });
    else if (event.type === 'lost') this.#tell({ type: 'own-silence' });
  }

  onSoundNews(tell: (sentence: string) => void): void {
    this.#tellSound = tell;
  }

  silenceFrom(atMicros: number): void {
    this.#tell({ type: 'silence', atMicros });
  }

  async close(): Promise<void> {
    this.#stop();
    process.off('exit', this.#onExit);
    this.#port.close();
    // The thread ends by itself once its devices are closed; one that hangs is not waited for.
    this.#worker.ref();
    const ended = new Promise((resolve) => this.#worker.once('exit', resolve));
    const timer = setTimeout(() => void this.#worker.terminate(), CLOSING_MS);
    if (this.#worker.threadId !== -1) await ended;
    clearTimeout(timer);
  }

  #sound(sounds: readonly TimedSound[]): void {
    this.#tell({ type: 'sounds', sounds });
  }

  #tell(message: ToClick): void {
    if (this.#closed) return;
    this.#port.postMessage(message);
    Atomics.add(this.#shared, RAISED, 1);
    Atomics.notify(this.#shared, RAISED);
  }

  /** Waits until the worker has let everything go; usable while the process ends. */
  #stop(): void {
    if (this.#closed) return;
    this.#closed = true;
    Atomics.store(this.#shared, STOP_ASKED, 1);
    Atomics.add(this.#shared, RAISED, 1);
    Atomics.notify(this.#shared, RAISED);
    Atomics.wait(this.#shared, STOPPED, 0, FAREWELL_MS);
  }
}

/** A click that is only seen: the screen draws it from the session. */
export class SilentClick implements ClickPort {
  readonly name = 'no sound';
  schedule(): void {}
  scheduleSignal(): void {}
  scheduleNotes(): void {}
  silenceFrom(): void {}
  async close(): Promise<void> {}
}
