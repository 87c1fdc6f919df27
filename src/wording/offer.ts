// What is offered to a player whose instrument seems to be set otherwise.

/** @param octaves How many too high (negative: too low). */
export function octaveOffer(octaves: number): string {
  const far = Math.abs(octaves) === 1 ? 'an octave' : `${Math.abs(octaves)} octaves`;
  return `You sound ${far} ${octaves > 0 ? 'above' : 'below'} the passage: press o to take that as right.`;
}
