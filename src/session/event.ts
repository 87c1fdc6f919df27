// Everything that can happen to a session, in one closed union. Every member carries `at`, integer microseconds on the
// session's monotonic clock, stamped at the edge.

import type { PlayerEvent } from '../music/player-event.ts';
import type { FollowedPulse } from '../ports/pulse.ts';

/** Names a player within a session; one player alone is "player". */
export type PlayerId = string;

/** What the player may ask for at any moment. */
export type Control =
  /** On to the next step without passing the gate; the record says so. */
  | 'skip'
  | 'back'
  /** The same step from its lead-in. */
  | 'again'
  | 'slower'
  | 'faster'
  /** Stops the click, or goes on with a lead-in. */
  | 'pause'
  /** Stops the click and says what the drill asks for. */
  | 'help'
  /** Sounds the step first. */
  | 'hear'
  /** Sounds the last take as it was played. */
  | 'replay'
  /** Takes the octave in which the player really plays as the right one. */
  | 'octave'
  /** Landings: longer or shorter runs. */
  | 'fewer-stops'
  | 'more-stops'
  | 'quit';

export const CONTROLS: readonly Control[] = [
  'skip',
  'back',
  'again',
  'slower',
  'faster',
  'pause',
  'help',
  'hear',
  'replay',
  'octave',
  'fewer-stops',
  'more-stops',
  'quit',
];

/** What may be asked of one player among several. Muting, excusing and focusing are undone by asking a second time. */
export type SeatAsk =
  /** Points at them: what is asked next is of them. */
  | 'point'
  /** Not listened to. */
  | 'mute'
  /** Heard and told their verdict, but it does not count, and the run does not stop for them. */
  | 'excuse'
  /** They alone count and stop the run. */
  | 'focus'
  /** Sounds their part of the step. */
  | 'hear';

export type SessionEvent =
  | { readonly type: 'begin'; readonly at: number }
  | { readonly type: 'played'; readonly at: number; readonly player: PlayerId; readonly event: PlayerEvent }
  | { readonly type: 'control'; readonly at: number; readonly control: Control }
  | { readonly type: 'seat'; readonly at: number; readonly player: PlayerId; readonly ask: SeatAsk }
  /** Another machine's pulse has come to a new quarter, or has stopped (undefined). */
  | { readonly type: 'pulse'; readonly at: number; readonly pulse: FollowedPulse | undefined }
  /** Something of the set-up was lost that the work can go on without; the player is told. */
  | { readonly type: 'trouble'; readonly at: number; readonly text: string }
  /** Time has passed. Looking oftener or more rarely changes nothing. */
  | { readonly type: 'wake'; readonly at: number };
