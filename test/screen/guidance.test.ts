// What the player is told to play, and when. The golden screens prove stability; what they must show is said beside them.

import { describe, expect, it } from 'vitest';
import { draw } from '../../src/screen/draw.ts';
import { FIVE_NOTES, playScript, readScript, tuneLines } from '../sessions/script.ts';
import { plainText } from './emulator.ts';

const SMALL = { columns: 80, rows: 24 };
const LARGE = { columns: 120, rows: 40 };

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

// Helpers

async function textAt(seconds: number, text: string, size = SMALL): Promise<string[]> {
  const lines = text
    .split('\n')
    .filter((line) => !/^[\d.]+ /.test(line) || Number(line.split(' ')[0]) <= seconds);
  const { session } = playScript(await readScript([...lines, `${seconds} look`].join('\n')));
  return plainText(draw(session, size, { unicode: false, source: 'script' }));
}

async function golden(name: string, size: typeof SMALL, seconds: number, text: string): Promise<void> {
  const rows = await textAt(seconds, text, size);
  const picture = `${rows.map((row) => row.trimEnd()).join('\n')}\n`;
  await expect(picture).toMatchFileSnapshot(`golden/${name}-${size.columns}x${size.rows}.txt`);
}

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
