// What is offered to a player whose instrument seems to be set otherwise.

import { counted } from './counted.ts';

/** `semitones` too high (negative: too low); `asWritten`: an instrument that sends what is read would sound so. */
export function shiftOffer({
  semitones,
  asWritten,
}: {
  readonly semitones: number;
  readonly asWritten: boolean;
}): string {
  if (asWritten) return 'It sounds as if your instrument sends what you read: press o to take that as right.';
  const octaves = Math.abs(semitones) / 12;
  const far = !Number.isInteger(octaves)
    ? counted(Math.abs(semitones), 'semitone')
    : octaves === 1
      ? 'an octave'
      : `${octaves} octaves`;
  return `You sound ${far} ${semitones > 0 ? 'above' : 'below'} the passage: press o to take that as right.`;
}
