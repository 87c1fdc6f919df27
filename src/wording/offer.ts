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
  return `You sound ${apart(semitones)} the passage: press o to take that as right.`;
}

/** Once that was pressed. */
export function shiftTaken({ semitones, asWritten }: Parameters<typeof shiftOffer>[0]): string {
  const how = asWritten
    ? 'what your instrument sends is what you read'
    : `you sound ${apart(semitones)} the passage`;
  return `Taken as right from now on: ${how}.`;
}

/** @example apart(-12) // 'an octave below' */
function apart(semitones: number): string {
  const octaves = Math.abs(semitones) / 12;
  const far = !Number.isInteger(octaves)
    ? counted(Math.abs(semitones), 'semitone')
    : octaves === 1
      ? 'an octave'
      : `${octaves} octaves`;
  return `${far} ${semitones > 0 ? 'above' : 'below'}`;
}
