// Golden sessions: NAME.session is played, NAME.transcript is what came of it. Stability, not truth.

import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { playScript, readScript, transcript } from './script.ts';

const names = readdirSync(import.meta.dirname)
  .filter((file) => file.endsWith('.session'))
  .map((file) => file.replace('.session', ''));

describe('golden sessions', () => {
  it('has stories to play', () => {
    expect(names.length).toBeGreaterThan(10);
  });

  it.each(names)('%s', async (name) => {
    const script = await readScript(readFileSync(`${import.meta.dirname}/${name}.session`, 'utf8'));
    await expect(transcript(playScript(script))).toMatchFileSnapshot(`${name}.transcript`);
  });

  it.each(names)('%s comes out the same however often anyone looks', async (name) => {
    const script = await readScript(readFileSync(`${import.meta.dirname}/${name}.session`, 'utf8'));
    const asAsked = playScript(script);
    const rarely = playScript(script, { lazy: true });
    const often = playScript(script, { extraWakes: Array.from({ length: 3_000 }, (_, i) => i * 13_577) });
    expect(rarely.effects).toEqual(asAsked.effects);
    expect(often.effects).toEqual(asAsked.effects);
  });
});
