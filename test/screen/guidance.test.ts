// What the player is told to play, and when. The golden screens prove stability; what they must show is said beside them.

import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { FIVE_NOTES, playScript, readScript, tuneLines } from '../sessions/script.ts';
import { golden, LARGE, SMALL, textAt } from './golden-screen.ts';

describe('the hold of a landing', () => {
  const landed = `${FIVE_NOTES}\nset tempo 60\nset passes 1\n5.500 on C4\n6.500 on D4`;

  it('shows the coming run before the verdict, marked as coming', async () => {
    const text = (await textAt(7.2, landed)).join('\n');
    expect(text).toContain('coming:');
    expect(text).toContain('[E4]');
    expect(text).not.toContain('C4');
  });

  it('keeps the landing on the screen while a clean take would not yet lead on', async () => {
    const text = (await textAt(7.2, landed.replace('passes 1', 'passes 3'))).join('\n');
    expect(text).toContain('[D4]');
    expect(text).not.toContain('coming:');
  });

  it('counts down to the entry, and then on from the beat of the bar', async () => {
    // Held two beats from 6.5 on; struck again, the landing is beat 2 of its bar.
    const counts: (number | undefined)[] = [];
    for (const at of [6.6, 7.6, 8.3, 8.6]) counts.push(largeCount(await textAt(at, landed)));
    expect(counts).toEqual([2, 1, 1, 2]);
  });

  it.each([SMALL, LARGE])('at $columns by $rows', async (size) => {
    await golden('hold', size, 7.2, landed);
  });
});

describe('what comes next', () => {
  it('names a lead-in only where there is one', async () => {
    const free = `${FIVE_NOTES}\nset drill switchback\nset passes 2\n2 on C4\n3 on D4\n4 on C4`;
    const text = (await textAt(6.6, free)).join('\n');
    expect(text).toContain('Again, when you like.');
    expect(text).not.toContain('lead-in');
  });

  it('says that the tempo rises', async () => {
    const ladder = `${tuneLines('C D | E2 F2 |]')}\nset drill through\nset ladder 60-72\nset up 1`;
    const text = (await textAt(11.2, `${ladder}\n5.5 on C4\n6.5 on D4\n7.5 on E4\n9.5 on F4`)).join('\n');
    expect(text).toMatch(/Faster: \d+/);
  });
});

describe('a pause in the lead-in', () => {
  it('leaves the notes standing', async () => {
    const text = (await textAt(4, `${FIVE_NOTES}\nset tempo 60\n3 press pause`)).join('\n');
    expect(text).toContain('PAUSED');
    expect(text).toContain('[D4]');
  });
});

describe('a click between the beats', () => {
  it('is counted with its beat, and said to be inside it', async () => {
    const off = `${FIVE_NOTES}\nset tempo 60\nset drill through\nset pulse offbeat`;
    for (const [at, beat] of [
      [6.05, 1],
      [7.05, 2],
      [8.05, 3],
    ] as const) {
      const rows = await textAt(at, `${off}\n5.5 on C4\n6.5 on D4\n7.5 on E4`);
      expect(largeCount(rows)).toBe(beat);
      expect(rows.join('\n')).toContain('(*) and');
    }
  });
});

describe('the task of a drill', () => {
  const line = 'CDEF GAGF | EDEF G4 |]';
  const tune = `${tuneLines(line, { unit: '1/8' })}\nset tempo 60`;

  it('is told in a sentence before its first step, and not before the next', async () => {
    const told = 'Play to the note in brackets and hold it';
    expect((await textAt(2, `${FIVE_NOTES}\nset tempo 60`)).join('\n')).toContain(told);
    expect((await textAt(4, `${FIVE_NOTES}\nset tempo 60\n3 press skip`)).join('\n')).not.toContain(told);
  });

  it('says where in the bar a window enters', async () => {
    const rows = await textAt(2, `${tune}\nset drill widening\nset snag 4`);
    expect(rows.join('\n')).toContain('Enter half a beat after beat 2.');
    // F4 stands inside beat 2, G4 on beat 3: the only beat on the ruler.
    expect(rows.find((row) => row.includes('....'))).toMatch(/^ *\.+3\.* *$/);
  });

  it('marks the note to lean on', async () => {
    const rows = await textAt(2, `${tune}\nset drill tenuto\nset snag 4`);
    const name = rows.find((row) => row.includes('F4'))!;
    expect(rows.find((row) => row.includes('....'))!.indexOf('lean')).toBe(name.indexOf('F4'));
  });

  it('draws no two rhythms alike', async () => {
    const full = `${tuneLines('CDEFGFED CDEFGABc | C4 |]', { unit: '1/16' })}\nset tempo 60`;
    const pictures = await Promise.all(
      [0, 1, 2, 3, 4, 5].map(async (skips) => {
        const presses = Array.from({ length: skips }, (_, i) => `${1 + i / 10} press skip`);
        const text = [`${full}\nset drill rhythms\nset bars 1`, ...presses].join('\n');
        // The names alone; the count at their left and the ruler under them are not counted on.
        return (await textAt(2.5, text))
          .slice(4, 13)
          .map((row) => row.slice(14))
          .join('\n');
      }),
    );
    expect(new Set(pictures).size).toBe(6);
  });

  it('is told again by the key for help, which pauses', async () => {
    const text = (await textAt(3, `${FIVE_NOTES}\nset tempo 60\n2 press help`)).join('\n');
    expect(text).toContain('PAUSED');
    expect(text).toContain('for the beats shown');
    const on = (await textAt(4, `${FIVE_NOTES}\nset tempo 60\n2 press help\n3 press help`)).join('\n');
    expect(on).not.toContain('PAUSED');
  });

  it('explains the drill in a pause that was there before, and then goes on like any other', async () => {
    const paused = `${FIVE_NOTES}\nset tempo 60\n2 press pause\n3 press help`;
    const text = (await textAt(4, paused)).join('\n');
    expect(text).toContain('PAUSED');
    expect(text).toContain('Space goes on.');
    expect((await textAt(5, `${paused}\n4 press help`)).join('\n')).not.toContain('PAUSED');
  });

  it.each([SMALL, LARGE])('at $columns by $rows', async (size) => {
    await golden('tenuto', size, 2, `${tune}\nset drill tenuto\nset snag 4`);
    await golden('widening', size, 2, `${tune}\nset drill widening\nset snag 4`);
    await golden('rhythms', size, 2, `${tune}\nset drill rhythms\nset bars 1`);
    await golden('help', size, 3, `${tune}\n2 press help`);
    await golden('paused', size, 4, `${tune}\n3 press pause`);
  });
});

describe('all that is to be played', () => {
  it('is shown of a chord whose notes lie on fewer heights than there are notes', async () => {
    const chords = `${tuneLines("C, C [G,B,DF] [c'e'g'b'] | c''4 |]")}\nset tempo 60\nset drill through`;
    for (const size of [SMALL, LARGE]) {
      const text = (await textAt(2, chords, size)).join('\n');
      for (const name of ['G3', 'B3', 'D4', 'F4', 'C6', 'E6', 'G6', 'B6']) expect(text).toContain(name);
    }
  });

  it('counts the notes for which there is no row', async () => {
    const text = await textAt(2, `${tuneLines('[CEGBdfa] C C2 |]')}\nset drill through`, {
      columns: 80,
      rows: 13,
    });
    expect(text.join('\n')).toMatch(/A5\+\d/);
  });

  it('is shown of a note that a grace note of the same name comes before', async () => {
    const graced = `${tuneLines('C {D}D {f}E F | G4 |]')}\nset tempo 60`;
    const text = (await textAt(2, graced)).join('\n');
    expect(text).toContain('[D4] hold 2');
  });

  it('moves on with the place in a bar of sixteenths', async () => {
    const bar = `${tuneLines('CDEFGFED CDEFGABc | C4 |]', { unit: '1/16' })}\nset tempo 60\nset drill through`;
    const played = [60, 62, 64, 65, 67, 65, 64, 62, 60, 62].map(
      (pitch, i) =>
        `${(5.5 + i / 4).toFixed(3)} on ${['C4', 'D4', 'E4', 'F4', 'G4'][[60, 62, 64, 65, 67].indexOf(pitch)]}`,
    );
    // The tenth of the sixteenths has been played; the last one is in sight.
    expect((await textAt(7.8, [bar, ...played].join('\n'))).join('\n')).toContain('C5');
  });
});

describe('the summary', () => {
  it('keeps the sentence of the last take', async () => {
    const text = `${FIVE_NOTES}\nset tempo 60\nset passes 1\nset drill through\nset onsets 1-2`;
    const slipped = `${text}\n5.5 on C4\n6.5 on F4\n9.5 press quit`;
    expect((await textAt(10, slipped)).join('\n')).toContain('The last take: Played F4 for D4');
  });
});

describe('the last take', () => {
  it('is sounded as it was played, at its distance from the click', async () => {
    const story = readFileSync(new URL('../sessions/replayed.session', import.meta.url), 'utf8');
    const { effects } = playScript(await readScript(story));
    const sounded = effects.filter((effect) => effect.type === 'sound');
    expect(sounded.map(({ notes }) => notes)).toEqual([
      [
        { atMicros: 9_800_000, durationMicros: 900_000, pitch: 60, velocity: 70 },
        { atMicros: 10_860_000, durationMicros: 740_000, pitch: 63, velocity: 90 },
      ],
    ]);
    const clicks = effects.filter((effect) => effect.type === 'clicks');
    expect(clicks.some((one) => one.clicks[0]!.atMicros === 9_800_000)).toBe(true);
  });
});

// Helpers

/** The large number of one digit, told by two of its rows, which no two of those used here share. */
function largeCount(rows: readonly string[]): number | undefined {
  const ink = rows.slice(4, 9).map((row) => row.slice(2, 7));
  const digits: Readonly<Record<string, number>> = {
    '  #   ##  ': 1,
    ' ### #   #': 2,
    '####     #': 3,
    '#  # #  # ': 4,
  };
  return digits[`${ink[0]}${ink[1]}`];
}
