// What the click and its worker thread say to one another.

import type { MessagePort } from 'node:worker_threads';
import type { Result } from '../problem.ts';
import type { TimedSound } from './timed-sound.ts';

/** Places in the array of numbers that both share. */
export const RAISED = 0;
export const STOP_ASKED = 1;
export const STOPPED = 2;

export interface ClickWorkerData {
  readonly shared: Int32Array;
  readonly port: MessagePort;
  /** The MIDI driver's name of an output. */
  readonly midiRaw?: string;
  /** Over MIDI to no device at all: for measurements. */
  readonly nowhere?: boolean;
  readonly sound?: { readonly sink: 'default' | 'none' };
  /** 0 to 1. */
  readonly loudness: number;
  /** Tell how late each sound left. */
  readonly measured: boolean;
}

export type ToClick =
  | { readonly type: 'sounds'; readonly sounds: readonly TimedSound[] }
  | { readonly type: 'silence'; readonly atMicros: number }
  /** The player's own note, to sound at once; velocity 0 lets it go. */
  | { readonly type: 'own'; readonly pitch: number; readonly velocity: number }
  | { readonly type: 'own-silence' };

export type FromClick =
  | { readonly type: 'open'; readonly result: Result<{ readonly sounds: string }> }
  /** The sound device takes no more sound; it does again. */
  | { readonly type: 'lost' | 'found' }
  | { readonly type: 'left'; readonly atMicros: number; readonly lateMicros: number };
