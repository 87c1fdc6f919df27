// A note that sticks out of the line or drops from it, and a line that is uneven, in figures as the instrument sends them.

import type { TouchTrouble } from '../take/touch.ts';
import { type NoteNames, onsetName } from './note-names.ts';

/** @example touchSentence(trouble, names) // 'D#5 sticks out, 104 among 78: lighter there, like the notes around it.' */
export function touchSentence(trouble: TouchTrouble, names: NoteNames): string {
  const isBreath = trouble.by === 'breath';
  if (trouble.kind === 'uneven-touch') {
    const one = isBreath ? 'one steady breath through the line' : 'one weight for all the notes';
    return `Uneven in ${isBreath ? 'breath' : 'touch'}, from ${trouble.least} to ${trouble.most}: ${one}.`;
  }
  const whose = trouble.hand === undefined ? '' : `, ${trouble.hand},`;
  // Of two hands the onset's name is the upper one's.
  const own = trouble.hand === undefined ? undefined : names.expected[trouble.onset]?.[trouble.note];
  const note = `${own ?? onsetName(names, trouble.onset)}${whose}`;
  const among = `${trouble.level} among ${trouble.around}`;
  if (trouble.decibels > 0)
    return `${note} sticks out, ${among}: ${isBreath ? 'less air' : 'lighter'} there, like the notes around it.`;
  return `${note} drops out of the line, ${among}: ${isBreath ? 'keep the air going through it' : 'give it the weight of the notes around it'}.`;
}
