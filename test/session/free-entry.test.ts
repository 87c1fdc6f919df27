// A run without a click is entered when the player likes: also right after the verdict, before the rest is over.

import { describe, expect, it } from 'vitest';
import { FIVE_NOTES, playScript, readScript } from '../sessions/script.ts';

/** Lap after lap of C D C, one note each so many seconds, each lap entered at its time. */
async function laps(entries: readonly number[], seconds: number) {
  const notes = entries.flatMap((at) =>
    ['C4', 'D4', 'C4'].map((note, i) => `${(at + i * seconds).toFixed(3)} on ${note}`),
  );
  const script = [
    FIVE_NOTES,
    'set drill switchback',
    'set bars 1',
    'set tempo 60',
    ...notes,
    '40 press quit',
  ];
  return (await playScript(await readScript(script.join('\n')))).lines.filter((line) => / [+x] /.test(line));
}

describe('a run that is entered when the player likes', () => {
  it('is heard from its first note on, half a second after the verdict', async () => {
    // The first lap ends at 4 s; a second and a half later it is judged.
    const lines = await laps([2, 6], 1);
    expect(lines).toHaveLength(2);
    expect(lines[0]).toMatch(/^ *5\.500 \+ Clean/);
    expect(lines[1]).toMatch(/^ *9\.500 \+ Clean.*\(clean 2 of 3\)/);
  });

  it('has the pace that it is played in, however fast', async () => {
    // Four notes a second, where one a second is written.
    const [line] = await laps([2], 0.25);
    expect(line).toMatch(/\+ Clean\. Widest interval 0 ms off\./);
  });
});
