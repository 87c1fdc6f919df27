// What comes from a player: notes, controllers, and the fate of the instrument.

/**
 * What a source reports. `at` is integer microseconds on the session's clock, stamped at the edge. `channel` counts from
 * 1 to 16.
 */
export type PlayerEvent =
  | {
      readonly type: 'note-on';
      readonly at: number;
      readonly pitch: number;
      readonly velocity: number;
      readonly channel: number;
    }
  | { readonly type: 'note-off'; readonly at: number; readonly pitch: number; readonly channel: number }
  | {
      readonly type: 'controller';
      readonly at: number;
      readonly number: number;
      readonly value: number;
      readonly channel: number;
    }
  /** Everything else that was sent, kept in the raw record. */
  | { readonly type: 'other'; readonly at: number; readonly bytes: readonly number[] }
  /** The instrument is gone or the stream has a hole: held notes are let go, the take ends. */
  | { readonly type: 'lost'; readonly at: number; readonly reason: string }
  /** It is back. */
  | { readonly type: 'found'; readonly at: number }
  /** Nothing more will come (end of a recorded take). */
  | { readonly type: 'ended'; readonly at: number };
