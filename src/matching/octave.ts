// A whole take an octave or two away: the instrument is set so, or the player reads it so. It is matched as if it stood
// where it should, and said once, instead of calling every note wrong.

import type { PlayedNote } from '../music/played-note.ts';
import type { Expectation } from './expectation.ts';

const SHIFTS = [-24, -12, 12, 24];
/** One note can be an octave away by chance; of two or more, see `octaveShift`. Judgement. */
const LEAST_NOTES = 2;
const FEW_NOTES = 3;

/** The notes as played, or moved to the passage's octave when only that explains them. */
export function inOctave(expectation: Expectation, played: readonly PlayedNote[]): readonly PlayedNote[] {
  const shift = octaveShift(expectation, played);
  return shift === 0 ? played : played.map((note) => ({ ...note, pitch: note.pitch + shift }));
}

/**
 * Semitones to add. It is found without regard to order, so that slips do not matter: as played, fewer than one note in
 * four has a pitch of the passage, and moved at least four in five (both, when there are only two). Judgement.
 */
function octaveShift(expectation: Expectation, played: readonly PlayedNote[]): number {
  if (played.length < LEAST_NOTES) return 0;
  const wanted = new Set(expectation.onsets.flatMap((o) => o.notes.map((n) => n.pitch)));
  const share = (shift: number): number =>
    played.filter((note) => wanted.has(note.pitch + shift)).length / played.length;
  if (share(0) >= 0.25) return 0;
  const enough = played.length < FEW_NOTES ? 1 : 0.8;
  return SHIFTS.find((shift) => share(shift) >= enough) ?? 0;
}
