// Saxophone, all sizes by written pitch. From memory (standard handbook fingerings) where a line does not say otherwise.
//
// L1 L2 L3, R1 R2 R3: the main keys. Oct: octave key. bis: the small B-flat key that the index finger covers beside L1. fF:
// front F. PD PEb PF: palm keys. G# lC# lB lBb: the left little finger's table, Eb lC: the right one's. sE sC sBb: side keys.
// altF#: the alternate F-sharp key. hF#: the high F-sharp key, which not every instrument has.

import type { Family } from './family.ts';
import type { TableLine } from './fingering.ts';
import { withHeldKey } from './held-key.ts';

// biome-ignore format: one line a fingering
const LINES: readonly TableLine[] = [
  ['A#3', 'L1 L2 L3 R1 R2 R3 lC lBb', '', 'A', 'handbook', 'low-b-flat'],
  ['B3', 'L1 L2 L3 R1 R2 R3 lC lB', '', 'A', 'handbook'],
  ['C4', 'L1 L2 L3 R1 R2 R3 lC', '', 'A', 'handbook'],
  ['C#4', 'L1 L2 L3 R1 R2 R3 lC lC#', '', 'A', 'handbook'],
  ['D4', 'L1 L2 L3 R1 R2 R3', '', 'A', 'handbook'],
  ['D#4', 'L1 L2 L3 R1 R2 R3 Eb', '', 'A', 'handbook'],
  ['E4', 'L1 L2 L3 R1 R2', '', 'A', 'handbook'],
  ['F4', 'L1 L2 L3 R1', '', 'A', 'handbook'],
  ['F#4', 'L1 L2 L3 R2', '', 'A', 'handbook'],
  ['F#4', 'L1 L2 L3 R1 altF#', 'chromatic', 'A', 'handbook'],
  ['G4', 'L1 L2 L3', '', 'A', 'handbook'],
  ['G#4', 'L1 L2 L3 G#', '', 'A', 'handbook'],
  ['A4', 'L1 L2', '', 'A', 'handbook'],
  ['A#4', 'L1 bis', 'bis', 'A', 'handbook'],
  ['A#4', 'L1 L2 sBb', 'side', 'A', 'handbook'],
  ['A#4', 'L1 R1', 'one-and-one', 'A', 'handbook'],
  ['B4', 'L1', '', 'A', 'handbook'],
  ['C5', 'L2', '', 'A', 'handbook'],
  ['C5', 'L1 sC', 'side', 'A', 'handbook'],
  ['C#5', '', '', 'A', 'handbook'],
  ['C#5', 'Oct L1 L2 L3 R1 R2 R3 lC lC#', 'low C#', 'A', 'unsw'],
  ['D5', 'Oct L1 L2 L3 R1 R2 R3', '', 'A', 'handbook'],
  ['D5', 'PD', 'trill', 'B', 'handbook'],
  ['D#5', 'Oct L1 L2 L3 R1 R2 R3 Eb', '', 'A', 'handbook'],
  ['E5', 'Oct L1 L2 L3 R1 R2', '', 'A', 'handbook'],
  ['F5', 'Oct L1 L2 L3 R1', '', 'A', 'handbook'],
  ['F#5', 'Oct L1 L2 L3 R2', '', 'A', 'handbook'],
  ['F#5', 'Oct L1 L2 L3 R1 altF#', 'chromatic', 'A', 'handbook'],
  ['G5', 'Oct L1 L2 L3', '', 'A', 'handbook'],
  ['G#5', 'Oct L1 L2 L3 G#', '', 'A', 'handbook'],
  ['A5', 'Oct L1 L2', '', 'A', 'handbook'],
  ['A#5', 'Oct L1 bis', 'bis', 'A', 'handbook'],
  ['A#5', 'Oct L1 L2 sBb', 'side', 'A', 'handbook'],
  ['A#5', 'Oct L1 R1', 'one-and-one', 'A', 'handbook'],
  ['B5', 'Oct L1', '', 'A', 'handbook'],
  ['C6', 'Oct L2', '', 'A', 'handbook'],
  ['C6', 'Oct L1 sC', 'side', 'A', 'handbook'],
  ['C#6', 'Oct', '', 'A', 'handbook'],
  ['D6', 'Oct PD', '', 'A', 'handbook'],
  ['D#6', 'Oct PD PEb', '', 'A', 'handbook'],
  ['E6', 'Oct PD PEb sE', 'palm', 'A', 'handbook'],
  ['E6', 'Oct fF L2 L3', 'front', 'A', 'coats'],
  ['F6', 'Oct PD PEb sE PF', 'palm', 'A', 'handbook'],
  ['F6', 'Oct fF L2', 'front', 'A', 'coats'],
  ['F#6', 'Oct PD PEb sE PF hF#', 'palm', 'A', 'coats', 'high-f-sharp'],
  ['F#6', 'Oct fF L2 sBb', 'front', 'B', 'handbook'],
];

/** The small B-flat key may stay down with the index finger where the middle finger closes its hole as well. */
function bisHeld(keys: readonly string[]): readonly string[] | undefined {
  return keys.includes('L1') && keys.includes('L2') ? [...keys, 'bis'] : undefined;
}

export const SAXOPHONE: Family = {
  name: 'saxophone',
  keys: {
    'left thumb': 'Oct',
    'left index finger': 'L1 bis fF',
    'left middle finger': 'L2',
    'left ring finger': 'L3',
    'left little finger': 'G# lC# lB lBb',
    'left palm': 'PD PEb PF',
    'right index finger': 'R1',
    'right middle finger': 'R2',
    'right ring finger': 'R3 altF# hF#',
    'right little finger': 'Eb lC',
    'right side': 'sE sC sBb',
  },
  rolls: [['L1', 'fF']],
  // From L1 to bis and back the fingertip slides down and up again on the key.
  rollers: [
    ['L1', 'bis'],
    ['G#', 'lC#'],
    ['G#', 'lB'],
    ['lC#', 'lB'],
    ['lC#', 'lBb'],
    ['lB', 'lBb'],
    ['Eb', 'lC'],
  ],
  reached: ['sE', 'sC', 'sBb', 'altF#', 'hF#', 'fF'],
  veiled: ['one-and-one', 'low C#'],
  // D5, the first note with the octave key.
  breaks: [74],
  usual: ['low-b-flat'],
  optional: ['low-b-flat', 'high-f-sharp'],
  lines: withHeldKey(LINES, 'B', bisHeld),
};
