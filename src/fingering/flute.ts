// Flute in the Boehm system with a closed G sharp and a C foot. From memory (standard handbook fingerings) where a line does
// not say otherwise.
//
// Th: the thumb key, ThBb: its B-flat lever; the thumb is on one of the two. L1 L2 L3, R1 R2 R3: the main keys. LG#: G sharp.
// BbS: the side lever for B flat. tD, tD#: trill keys. REb RC# RC: the foot.

import type { Family } from './family.ts';
import type { TableLine } from './fingering.ts';
import { withHeldKey } from './held-key.ts';

// biome-ignore format: one line a fingering
const LINES: readonly TableLine[] = [
  ['C4', 'Th L1 L2 L3 R1 R2 R3 RC', '', 'A', 'handbook'],
  ['C#4', 'Th L1 L2 L3 R1 R2 R3 RC#', '', 'A', 'handbook'],
  ['D4', 'Th L1 L2 L3 R1 R2 R3', '', 'A', 'doubling'],
  ['D#4', 'Th L1 L2 L3 R1 R2 R3 REb', '', 'A', 'handbook'],
  ['E4', 'Th L1 L2 L3 R1 R2 REb', '', 'A', 'handbook'],
  ['F4', 'Th L1 L2 L3 R1 REb', '', 'A', 'handbook'],
  ['F#4', 'Th L1 L2 L3 R3 REb', '', 'A', 'handbook'],
  ['F#4', 'Th L1 L2 L3 R2 REb', 'trill', 'A', 'handbook'],
  ['G4', 'Th L1 L2 L3 REb', '', 'A', 'handbook'],
  ['G#4', 'Th L1 L2 L3 LG# REb', '', 'A', 'handbook'],
  ['A4', 'Th L1 L2 REb', '', 'A', 'handbook'],
  ['A#4', 'Th L1 R1 REb', 'one-and-one', 'A', 'handbook'],
  ['A#4', 'ThBb L1 REb', 'thumb', 'A', 'handbook'],
  ['A#4', 'Th L1 BbS REb', 'side', 'A', 'handbook'],
  ['B4', 'Th L1 REb', '', 'A', 'handbook'],
  ['C5', 'L1 REb', '', 'A', 'handbook'],
  ['C#5', 'REb', '', 'A', 'handbook'],
  ['D5', 'Th L2 L3 R1 R2 R3', '', 'A', 'doubling'],
  ['D#5', 'Th L2 L3 R1 R2 R3 REb', '', 'A', 'doubling'],
  ['E5', 'Th L1 L2 L3 R1 R2 REb', '', 'A', 'handbook'],
  ['F5', 'Th L1 L2 L3 R1 REb', '', 'A', 'handbook'],
  ['F#5', 'Th L1 L2 L3 R3 REb', '', 'A', 'handbook'],
  ['F#5', 'Th L1 L2 L3 R2 REb', 'trill', 'A', 'handbook'],
  ['G5', 'Th L1 L2 L3 REb', '', 'A', 'handbook'],
  ['G#5', 'Th L1 L2 L3 LG# REb', '', 'A', 'handbook'],
  ['A5', 'Th L1 L2 REb', '', 'A', 'handbook'],
  ['A#5', 'Th L1 R1 REb', 'one-and-one', 'A', 'handbook'],
  ['A#5', 'ThBb L1 REb', 'thumb', 'A', 'handbook'],
  ['A#5', 'Th L1 BbS REb', 'side', 'A', 'handbook'],
  ['B5', 'Th L1 REb', '', 'A', 'handbook'],
  ['C6', 'L1 REb', '', 'A', 'handbook'],
  ['C#6', 'REb', '', 'A', 'handbook'],
  ['D6', 'Th L2 L3 REb', '', 'A', 'handbook'],
  ['D#6', 'Th L1 L2 L3 LG# R1 R2 R3 REb', '', 'A', 'unsw'],
  ['E6', 'Th L1 L2 R1 R2 REb', '', 'A', 'unsw'],
  ['F6', 'Th L1 L3 R1 REb', '', 'A', 'handbook'],
  ['F#6', 'Th L1 L3 R3 REb', '', 'A', 'handbook'],
  ['G6', 'L1 L2 L3 REb', '', 'A', 'handbook'],
  ['G#6', 'L2 L3 LG# REb', '', 'A', 'handbook'],
  ['A6', 'Th L2 R1 REb', '', 'A', 'handbook'],
  ['A#6', 'Th R1 tD', '', 'B', 'handbook'],
  ['B6', 'Th L1 L3 tD#', '', 'B', 'handbook'],
  ['C7', 'L1 L2 L3 LG# R1', '', 'B', 'handbook'],
];

/**
 * The thumb may stay on the B-flat lever through a passage: it sounds the same wherever another finger closes the B-flat
 * hole as well. That leaves out B natural, F#6 and B6, as the rule has it.
 */
function thumbOnLever(keys: readonly string[]): readonly string[] | undefined {
  const closed = ['L2', 'R1', 'BbS'].some((key) => keys.includes(key));
  return closed && keys.includes('Th') ? keys.map((key) => (key === 'Th' ? 'ThBb' : key)) : undefined;
}

export const FLUTE: Family = {
  name: 'flute',
  keys: {
    'left thumb': 'Th ThBb',
    'left index finger': 'L1',
    'left middle finger': 'L2',
    'left ring finger': 'L3',
    'left little finger': 'LG#',
    'right index finger': 'R1 BbS',
    'right middle finger': 'R2 tD',
    'right ring finger': 'R3 tD#',
    'right little finger': 'REb RC# RC',
  },
  rolls: [['RC#', 'RC']],
  rollers: [
    ['REb', 'RC#'],
    ['REb', 'RC'],
  ],
  reached: ['BbS', 'tD', 'tD#'],
  veiled: [],
  // D5, the first overblown note; D6, the first of the third register.
  breaks: [74, 86],
  usual: [],
  optional: [],
  lines: withHeldKey(LINES, 'A', thumbOnLever),
};
