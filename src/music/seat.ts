// What of a shared input is one player's: a channel, a range of the keys, or all of it.

import type { Pitch } from './pitch.ts';
import type { PlayerEvent } from './player-event.ts';

export interface KeyRange {
  /** MIDI numbers as the keyboard sends them, inclusive. */
  readonly lowest: Pitch;
  readonly highest: Pitch;
}

/** Without a channel all channels, without keys all keys. */
export interface Seat {
  /** 1 to 16. */
  readonly channel?: number;
  readonly keys?: KeyRange;
}

/** Whether what an input sends reaches the player who sits there. A pedal is that of all who share its channel. */
export function reaches(event: PlayerEvent, { channel, keys }: Seat): boolean {
  const own = 'channel' in event ? event.channel : undefined;
  if (channel !== undefined && own !== undefined && own !== channel) return false;
  if (keys === undefined || (event.type !== 'note-on' && event.type !== 'note-off')) return true;
  return event.pitch >= keys.lowest && event.pitch <= keys.highest;
}

/** Whether some note would reach both. */
export function shareNotes(a: Seat, b: Seat): boolean {
  if (a.channel !== undefined && b.channel !== undefined && a.channel !== b.channel) return false;
  if (a.keys === undefined || b.keys === undefined) return true;
  return a.keys.lowest <= b.keys.highest && b.keys.lowest <= a.keys.highest;
}
