// Players who are far from each other, over a network or across a hall.

/**
 * One way. Ensembles slow down and fall apart above 20 to 30 ms (Schuett 2002; Chafe, Caceres & Gurevich 2010, Perception
 * 39:982: they quicken below 11.5 ms and slow down more and more above it).
 */
const TOO_FAR_MICROS = 25_000;

/** `lagMicros`: how late notes come, habit and instrument together. */
export function isTooFar(lagMicros: number): boolean {
  return lagMicros > TOO_FAR_MICROS;
}
