import { describe, expect, it } from 'vitest';
import { noticeWords } from '../../src/wording/notice.ts';
import { FIVE_NOTES, playScript, readScript } from '../sessions/script.ts';

/** Advice given in a session of such takes, each a list of names a second apart, moved `by` seconds. */
async function advice(
  takes: readonly (readonly string[])[],
  { by = [], every = 10, drill = 'through' }: { by?: readonly number[]; every?: number; drill?: string } = {},
): Promise<string[]> {
  const lines = takes.flatMap((names, t) =>
    names.map((name, i) => `${(5.5 + every * t + i + (by[i] ?? 0)).toFixed(3)} on ${name}`),
  );
  const text = `${FIVE_NOTES}\nset tempo 60\nset passes 3\nset drill ${drill}\n${lines.join('\n')}\n${every * takes.length + 4} look`;
  return playScript(await readScript(text)).effects.flatMap((effect) =>
    effect.type === 'news' && effect.news.kind === 'notice' ? [noticeWords(effect.news.notice)] : [],
  );
}

const RIGHT = ['C4', 'D4', 'E4', 'F4', 'G4'];

describe('the same fault three times in a row', () => {
  it('changes the advice: an interval that is rushed each time wants tenuto', async () => {
    const rushed = [0, 0, -0.2, -0.2, -0.2];
    expect(await advice([RIGHT, RIGHT, RIGHT], { by: rushed })).toEqual([
      'The same 3 times: work that interval with the drill tenuto, or take it slower (down arrow).',
    ]);
    expect(await advice([RIGHT, RIGHT], { by: rushed })).toEqual([]);
  });

  it('does not tell a player to go slower whose instrument is set otherwise', async () => {
    const high = ['C5', 'D5'];
    const said = await advice([high, high, high, high], { every: 7, drill: 'landings' });
    expect(said).toHaveLength(4);
    for (const one of said) expect(one).toMatch(/^You sound an octave above/);
  });

  it('does not slow down a player who comes in half a beat early each time', async () => {
    const early = RIGHT.map(() => -0.5);
    const said = await advice([RIGHT, RIGHT, RIGHT, RIGHT], { by: early });
    expect(said).toEqual(['The same 3 times: hear it first (h): it sounds with its lead-in.']);
  });
});
