// Why a session is paused, which says what may end the pause besides the player.

/**
 * Any note ends it where nothing had been heard, the instrument where it had been lost, the pulse where it had stopped.
 * A pause that the player asked for stays.
 */
export type PauseReason =
  | { readonly by: 'player' | 'silence' | 'pulse' }
  /** `why`: a clause from the instrument's port. */
  | { readonly by: 'lost'; readonly why: string };
