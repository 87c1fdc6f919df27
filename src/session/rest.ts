// When a rest falls due. Expert advice, not trial evidence: five minutes after 25 in solo practice, ten in each hour
// (Klickstein 2009 p. 75; Horvath).

/** Minutes of playing after which a rest is due. */
export type RestMinutes = 25 | 50;

const REST_MINUTES: readonly RestMinutes[] = [25, 50];

/** A pause this long counts as a rest. */
export const REST_MICROS = 5 * 60_000_000;

/** The rest that falls due between two amounts of playing, in microseconds. */
export function restDueBetween(beforeMicros: number, afterMicros: number): RestMinutes | undefined {
  return REST_MINUTES.findLast(
    (minutes) => beforeMicros < minutes * 60_000_000 && afterMicros >= minutes * 60_000_000,
  );
}
