// Why a session waits, in a clause.

import type { PauseReason } from '../session/pause-reason.ts';

/** Undefined where the player asked for it and knows. */
export function pauseClause(reason: PauseReason): string | undefined {
  switch (reason.by) {
    case 'player':
      return undefined;
    case 'silence':
      return 'nothing was heard; play any note to go on';
    case 'pulse':
      return 'the clock of the other machine has stopped; its start goes on';
    case 'lost':
      return reason.why;
  }
}

/** @example 'Paused: nothing was heard; play any note to go on.' */
export function pauseSentence(reason: PauseReason): string {
  const why = pauseClause(reason);
  return why === undefined ? 'Paused.' : `Paused: ${why}.`;
}
