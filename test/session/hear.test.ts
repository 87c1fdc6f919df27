// Hearing a step first.

import { describe, expect, it } from 'vitest';
import { openClick } from '../../src/commands/click-argument.ts';
import { draw } from '../../src/screen/draw.ts';
import { plainText } from '../screen/emulator.ts';
import { FIVE_NOTES, playScript, readScript } from '../sessions/script.ts';

describe('hearing a step', () => {
  it('sounds its notes and its click, and then counts in', async () => {
    const { effects } = await played(undefined, '3 press hear');
    expect(effects.some((effect) => effect.type === 'sound')).toBe(true);
  });

  it('with nothing to hear it with says so and what to do, and the run goes on', async () => {
    const { unheard } = await openClick({ clickTo: 'off' });
    expect(unheard).toMatch(/nothing to hear it with.*--click-to sound/);
    const asked = await played(unheard, '3 press hear', '5.5 on C4', '6.5 on D4', '9 look');
    const without = await played(unheard, '5.5 on C4', '6.5 on D4', '9 look');
    expect(asked.effects.filter(({ type }) => type === 'sound')).toEqual([]);
    expect(asked.lines.join('\n')).toContain(unheard);
    expect(asked.effects.filter(({ type }) => type === 'keep')).toEqual(
      without.effects.filter(({ type }) => type === 'keep'),
    );
  });

  it('with nothing to hear it with is answered in a pause too, which stays', async () => {
    const { unheard } = await openClick({ clickTo: 'off' });
    const { session } = await played(unheard, '3 press pause', '4 press hear');
    expect(session.stage.kind).toBe('paused');
    const frame = draw(session, { columns: 80, rows: 24 }, { unicode: false, source: 'script' });
    const text = plainText(frame).map((row) => row.trim());
    expect(text.join(' ').replaceAll(/ +/g, ' ')).toContain(unheard);
  });
});

// Helpers

const PASSAGE = `${FIVE_NOTES}
set tempo 60
set passes 1`;

async function played(unheard: string | undefined, ...events: string[]) {
  const script = await readScript([PASSAGE, ...events].join('\n'));
  return playScript({ ...script, plan: { ...script.plan, ...(unheard === undefined ? {} : { unheard }) } });
}
