// Takes of a simulated player, and what each of their notes was meant to be: the player knows, and the matching must find
// it out. Chosen among thousands so that each change that mutation testing made to the matching is noticed by as few of
// them as possible. All of them are ours.

export interface KnownTake {
  readonly title: string;
  /** ABC; a letter is a sixteenth at 60 a minute. */
  readonly line: string;
  /**
   * Note by note: milliseconds, MIDI pitch, how long it sounded, and what it was. r: right, in an onset (from 0); w: wrong,
   * in an onset for a pitch; x: added, b: a blip, before an onset; s: of a try given up by going back to an onset; o: of
   * an ornament.
   */
  readonly take: string;
  /** The first slip, its kind and onset, as it is known when all has been played; absent where it is not looked at. */
  readonly slip?: string;
  /** False where it can only be told when the take is over. */
  readonly followed?: false;
}

export const KNOWN_TAKES: readonly KnownTake[] = [
  {
    title: 'without a slip, rolled, grace, uneven by 10',
    line: 'C, [DE] [C,E] C, {D,}C, [CE] [CE]',
    take: '-3 48 200 r0, 257 62 200 r1, 288 64 200 r1, 500 48 200 r2, 541 64 200 r2, 757 48 200 r3, 997 48 200 r4, 1254 60 200 r5, 1289 64 200 r5, 1508 60 200 r6, 1544 64 200 r6',
    slip: 'none',
  },
  {
    title: 'a blip, 2 times as slow, rolled, uneven by 20',
    line: 'G D E [CG]',
    take: '19 67 400 r0, 470 57 25 b1, 510 62 400 r1, 1002 64 400 r2, 1514 60 400 r3, 1526 67 400 r3',
    slip: 'blip@1',
  },
  {
    title: 'an octave low, 2 times as slow, graces',
    line: 'E/ C/ F E {B,D}C/ F/ C/ D',
    take: '0 52 200 r0, 250 48 200 r1, 500 53 400 r2, 1000 52 400 r3, 1380 47 50 r4, 1440 50 50 r4, 1500 48 200 r4, 1750 53 200 r5, 2000 48 200 r6, 2250 50 400 r7',
    followed: false,
  },
  {
    title: 'a note left out, its time kept, 0.6 times as slow, grace',
    line: 'D d/ {E}D/ C/ F/ d d D/ E/',
    take: '0 62 120 r0, 165 64 50 r2, 225 62 60 r2, 300 60 60 r3, 375 65 60 r4, 450 74 120 r5, 600 74 120 r6, 750 62 60 r7, 825 64 60 r8',
    slip: 'missed@1',
  },
  {
    title: 'a wrong note, 1.4 times as slow',
    line: 'd G C A D E c',
    take: '0 74 280 r0, 350 67 280 r1, 700 60 280 r2, 1050 74 280 w3=69, 1400 62 280 r4, 1750 64 280 r5, 2100 72 280 r6',
    slip: 'wrong@3',
  },
  {
    title: 'a note skipped with its time',
    line: 'E D C E C C',
    take: '0 64 200 r0, 250 62 200 r1, 500 60 200 r2, 750 60 200 r4, 1000 60 200 r5',
    slip: 'missed@3',
  },
  {
    title: 'a wrong note, 2 times as slow',
    line: 'C, G, E d [C,E] E [E,D] [C,F]',
    take: '0 48 400 r0, 500 55 400 r1, 1000 64 400 r2, 1500 74 400 r3, 2000 48 400 r4, 2000 64 400 r4, 2500 64 400 r5, 3000 52 400 r6, 3000 62 400 r6, 3500 53 400 w7=48, 3500 65 400 r7',
    slip: 'wrong@7',
  },
  {
    title: 'a note skipped with its time, 1.4 times as slow, uneven by 20',
    line: 'D E E D D D D',
    take: '10 62 280 r0, 352 64 280 r1, 680 64 280 r2, 1056 62 280 r3, 1389 62 280 r4, 1763 62 280 r5',
    slip: 'missed@6',
  },
  {
    title: 'a hesitation, 1.4 times as slow, left hand 140 ms ahead, uneven by 10',
    line: 'E [C,D] [C,E] E',
    take: '505 64 280 r0, 710 48 280 r1, 858 62 280 r1, 1050 48 280 r2, 1193 64 280 r2, 1547 64 280 r3',
    slip: 'none',
  },
  {
    title: 'broken off before the end, rolled',
    line: '[C,G,B] C, A [G,d]',
    take: '0 48 200 r0, 40 55 200 r0, 80 71 200 r0, 250 48 200 r1',
  },
  {
    title: 'going back after a pause, 1.4 times as slow, left hand 40 ms ahead, uneven by 20',
    line: 'C [E,D] [G,D] [C,D] [E,E]',
    take: '18 60 280 r0, 311 52 280 s1, 340 62 280 s1, 1473 52 280 r1, 1481 62 280 r1, 1813 55 280 r2, 1839 62 280 r2, 2147 48 280 r3, 2198 62 280 r3, 2520 52 280 r4, 2563 64 280 r4',
    slip: 'restart@1',
  },
  {
    title: 'broken off before the end, 0.6 times as slow',
    line: '[EBd] [CF] [C,GAd] G, [G,GB] [C,CAd]',
    take: '0 64 120 r0, 0 71 120 r0, 0 74 120 r0, 150 60 120 r1, 150 65 120 r1, 300 48 120 r2, 300 67 120 r2, 300 69 120 r2, 300 74 120 r2, 450 55 120 r3',
  },
  {
    title: 'a blip, 0.6 times as slow, trill, uneven by 20',
    line: 'G TE C D E F',
    take: '-19 67 120 r0, 120 69 25 b1, 133 64 120 r1, 280 60 120 r2, 460 62 120 r3, 613 64 120 r4, 730 65 120 r5',
    slip: 'blip@1',
  },
  {
    title: 'a note left out, its time kept, 2 times as slow, trill',
    line: 'F2 TC E2 F F C2 C2',
    take: '0 65 800 r0, 1000 60 45 r1, 1055 62 45 o, 1110 60 45 o, 1165 62 45 o, 1500 64 800 r2, 2500 65 400 r3, 3000 65 400 r4, 4500 60 800 r6',
    followed: false,
  },
  {
    title: 'a misread chord, 1.4 times as slow',
    line: '[C,D] [C,F] [C,D] [C,G] [C,E] E [C,D]',
    take: '0 50 280 w0=48, 0 67 280 w0=62, 350 48 280 r1, 350 65 280 r1, 700 48 280 r2, 700 62 280 r2, 1050 48 280 r3, 1050 67 280 r3, 1400 48 280 r4, 1400 64 280 r4, 1750 64 280 r5, 2100 48 280 r6, 2100 62 280 r6',
    slip: 'wrong@0',
  },
  {
    title: 'going on farther ahead, left hand 90 ms ahead, uneven by 10',
    line: 'C, [G,E] [C,C] C [C,D] G, C, [C,C]',
    take: '-82 48 200 r0, 164 55 200 r1, 246 64 200 r1, 402 48 200 r2, 498 60 200 r2, 746 60 200 r3, 910 48 200 r4, 996 62 200 r4, 1459 48 200 r7, 1556 60 200 r7',
  },
  {
    title: 'going back after a pause, 2 times as slow',
    line: 'E D E E C C E C E',
    take: '0 64 400 r0, 500 62 400 r1, 1000 64 400 r2, 1500 64 400 r3, 2000 60 400 r4, 2500 60 400 r5, 3000 64 400 s6, 4300 64 400 r6, 4800 60 400 r7, 5300 64 400 r8',
    slip: 'restart@6',
  },
  {
    title: 'a note added that took time of its own, trill, uneven by 10',
    line: 'A F3 C Tc E B',
    take: '-6 69 200 r0, 244 65 600 r1, 993 60 200 r2, 1252 72 45 r3, 1307 74 45 o, 1362 72 45 o, 1417 74 45 o, 1472 72 45 o, 1493 64 200 r4, 1527 74 45 o, 1750 72 150 x5, 2008 71 200 r5',
    slip: 'extra@5',
  },
  {
    title: 'a note added that took time of its own, 0.6 times as slow, left hand 140 ms behind, uneven by 20',
    line: 'G, C, [C,E] [G,C] [G,C]',
    take: '155 55 120 r0, 291 48 120 r1, 293 64 120 r2, 459 48 120 r2, 463 60 120 r3, 574 55 120 r3, 619 60 120 r4, 725 55 120 r4',
    slip: 'none',
  },
  {
    title: 'a note skipped with its time, 2 times as slow, left hand 140 ms ahead',
    line: 'G, G [E,G] C, [E,c] [C,c] F',
    take: '-140 55 400 r0, 500 67 400 r1, 860 52 400 r2, 1000 67 400 r2, 1360 52 400 r4, 1500 72 400 r4, 1860 48 400 r5, 2000 72 400 r5, 2500 65 400 r6',
    slip: 'missed@3',
  },
  {
    title: 'without a slip, 1.4 times as slow, trill',
    line: 'G G3 TF C',
    take: '0 67 280 r0, 350 67 840 r1, 1345 67 45 o, 1400 65 45 r2, 1455 67 45 o, 1510 65 45 o, 1565 67 45 o, 1620 65 45 o, 1675 67 45 o, 1730 65 45 o, 1750 60 280 r3',
    slip: 'none',
  },
  {
    title: 'a note left out, its time kept, 0.6 times as slow, left hand 40 ms ahead',
    line: 'G, [G,D] C, [G,C] D E E [G,C] [G,C]',
    take: '-40 55 120 r0, 110 55 120 r1, 150 62 120 r1, 260 48 120 r2, 410 55 120 r3, 450 60 120 r3, 600 62 120 r4, 900 64 120 r6, 1010 55 120 r7, 1050 60 120 r7, 1160 55 120 r8, 1200 60 120 r8',
    followed: false,
  },
  {
    title: 'a wrong note, then going back, left hand 140 ms behind',
    line: '[C,D] [C,A] [G,G] [G,D] G C,',
    take: '0 62 200 r0, 140 48 200 r0, 250 69 200 r1, 390 48 200 r1, 500 67 200 r2, 640 55 200 r2, 750 62 200 r3, 890 55 200 r3, 1000 67 200 s4, 1390 46 200 s4, 2300 67 200 r4, 2690 48 200 r5',
  },
  {
    title: 'a wrong note, uneven by 20',
    line: 'C, [G,D] G, G, [C,E] [C,E] [G,E] C,',
    take: '-15 48 200 r0, 240 62 200 r1, 246 55 200 r1, 481 55 200 r2, 741 55 200 r3, 1007 48 200 r4, 1010 62 200 w4=64, 1243 48 200 r5, 1267 64 200 r5, 1489 64 200 r6, 1498 55 200 r6, 1746 48 200 r7',
    slip: 'wrong@4',
  },
  {
    title: 'without a slip, 0.6 times as slow, left hand 140 ms behind, uneven by 20',
    line: 'C, [C,A] [C,E] [C,C] F G [C,F] [C,d]',
    take: '122 48 120 r0, 165 69 120 r1, 284 48 120 r1, 291 64 120 r2, 425 48 120 r2, 441 60 120 r3, 582 48 120 r3, 602 65 120 r4, 736 67 120 r5, 888 65 120 r6, 1030 48 120 r6, 1035 74 120 r7, 1190 48 120 r7',
    followed: false,
  },
  {
    title: 'a hesitation, left hand 40 ms ahead',
    line: '[G,G] [C,E] G G',
    take: '-40 55 200 r0, 0 67 200 r0, 210 48 200 r1, 250 64 200 r1, 500 67 200 r2, 1250 67 200 r3',
    slip: 'none',
  },
  {
    title: 'a note added between two, grace',
    line: 'E/ {E}D/ D/ C D E D/ D D/',
    take: '0 64 100 r0, 63 65 110 x1, 65 64 50 r1, 125 62 100 r1, 250 62 100 r2, 375 60 200 r3, 625 62 200 r4, 875 64 200 r5, 1125 62 100 r6, 1250 62 200 r7, 1500 62 100 r8',
    slip: 'extra@1',
  },
  {
    title: 'a note skipped with its time, grace, uneven by 20',
    line: 'G/ G {^F}E/ C/',
    take: '-17 67 200 r1, 190 66 50 r2, 235 64 100 r2, 393 60 100 r3',
    followed: false,
  },
  {
    title: 'a note added between two, 2 times as slow, trill, uneven by 10',
    line: 'E/ E Td A/ d',
    take: '0 64 200 r0, 253 64 400 r1, 740 74 45 r2, 795 76 45 o, 850 74 45 o, 905 76 45 o, 960 74 45 o, 1000 66 110 x3, 1015 76 45 o, 1070 74 45 o, 1125 76 45 o, 1242 69 200 r3, 1497 74 400 r4',
    slip: 'extra@3',
  },
];
