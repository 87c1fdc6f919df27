// A note that was played, as opposed to one that is written.

import type { Pitch } from './pitch.ts';

/** A note as the instrument sent it: one note-on with its release. Times are integer microseconds, monotonic. */
export interface PlayedNote {
  readonly pitch: Pitch;
  readonly onMicros: number;
  /** Absent while it is still held. */
  readonly offMicros?: number;
  /** 1 to 127. */
  readonly velocity: number;
}
