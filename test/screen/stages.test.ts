// Every stage of a session on the screen, in two sizes, and the same in plain lines. The golden files prove stability; what
// each stage must tell (what to play, when, what was wrong, what next) is said beside them.

import { describe, expect, it } from 'vitest';
import { startPlayers, startState } from '../../src/screen/start-choice.ts';
import { drawStart } from '../../src/screen/start-screen.ts';
import { playScript, readScript, tuneLines } from '../sessions/script.ts';
import { plainText } from './emulator.ts';
import { golden, keptPicture, LARGE, SMALL } from './golden-screen.ts';

/** Landings over a bar in eighths at 60: the first run clean, the second with a short interval. */
const STORY = `${tuneLines('CDEF GAGF | E4 C4 |]', { unit: '1/8', title: 'Harbour steps' })}
set tempo 60
set passes 1
5.500 on C4
5.980 off C4
6.000 on D4
6.480 off D4
6.500 on E4
8.450 off E4
8.500 on E4
8.980 off E4
9.000 on F4
9.330 off F4
9.350 on G4
10.90 off G4
18.00 press help
20.00 press help
21.00 press pause
23.00 press pause
25.00 press quit`;

/** A step without a landing. */
const THROUGH = `${tuneLines('C D E F |]', { title: 'Four notes' })}
set tempo 60
set passes 2
set drill through
5.500 on C4
6.500 on D4
7.500 on E4
8.500 on F4`;

describe.each([SMALL, LARGE])('at $columns by $rows', (size) => {
  const stages: readonly (readonly [name: string, seconds: number, says: readonly string[]])[] = [
    ['ready', 1, ['READY', 'step 1 of', '[E4] hold 2', 'Play to the note in brackets', 'Enter on beat 1.']],
    ['lead-in', 3, ['LEAD-IN', '[E4] hold 2', 'Enter on beat 1.']],
    ['playing', 6.1, ['PLAY', '[E4] hold 2', '+', '^']],
    ['verdict', 8.2, ['HOLD', 'coming:', '[G4] hold 2', '+ Clean.', 'strike the landing again and go on']],
    ['verdict-again', 11.2, ['HOLD', 'x Rushed F4 to G4', 'short', 'Again, after the lead-in.']],
    ['again', 12, ['LEAD-IN', 'x Rushed F4 to G4', 'Enter on beat 2.']],
    ['help', 19, ['PAUSED', 'for the beats shown', 'Space goes on.']],
    ['paused', 22, ['PAUSED', 'Paused.', '[G4] hold 2']],
    ['finished', 26, ['DONE', '1 clean', 'The last take: Rushed F4 to G4', 'passed', 'open']],
  ];

  it.each(stages)('%s', async (name, seconds, says) => {
    const picture = await golden(`stage-${name}`, size, seconds, STORY);
    for (const words of says) expect(picture.toUpperCase()).toContain(words.toUpperCase());
  });

  it('rest, after a step without a landing', async () => {
    const picture = await golden('stage-rest', size, 10.2, THROUGH);
    for (const words of ['REST', '+ Clean.', 'clean 1 of 2', 'Again, after the lead-in.'])
      expect(picture).toContain(words);
  });

  it('start, without a record and with one', async () => {
    const bars = [1, 2].map((number) => ({ number, range: [60, 67] as const }));
    const given = {
      passages: [{ name: 'steps', description: 'Harbour steps, flute, goal 90', goalBpm: 90, bars }],
      drills: [{ name: 'landings', words: 'short runs from beat to beat, each landing held' }],
      reach: 17,
    };
    const first = startState({ ...given, players: startPlayers([]), plans: [] });
    const bare = await keptPicture('stage-start', size, plainText(drawStart(first, size)));
    for (const words of ['No instrument is plugged in', '> Passage', 'enter begin', 'until all is passed'])
      expect(bare).toContain(words);
    const plans = [{ minutes: 20, lines: ['3 min  steps, landings at 60: go on at beats 2 to 3'] }];
    const later = startState({ ...given, players: startPlayers(['Breath controller']), plans });
    const planned = await keptPicture('stage-start-today', size, plainText(drawStart(later, size)));
    for (const words of ['> Today', '20 minutes', 'go on at beats 2 to 3', 'Breath controller'])
      expect(planned).toContain(words);
  });
});

describe('in plain lines', () => {
  it('all of it is said', async () => {
    const { lines } = playScript(await readScript(STORY));
    const text = lines.filter((line) => !/ > | click | signal | keep | silence /.test(line)).join('\n');
    for (const words of [
      'landings: bar 1, beats 1 to 2, 60 a minute, lead-in 4, enter on beat 1: C4 D4 [E4] hold 2',
      'Play to the note in brackets and hold it',
      '+ Clean.',
      '(onward)',
      'bar 1, beats 2 to 3, 60 a minute: E4 F4 [G4] hold 2',
      'x Rushed F4 to G4 by 150 ms (30 %): lean on the F4. (again)',
      'again, lead-in 4, enter on beat 2',
      'for the beats shown',
      'paused',
      'going on',
      'done: 1 of 5 steps passed',
    ])
      expect(text).toContain(words);
  });
});
