// Golden sessions: NAME.session is played, NAME.transcript is what came of it. Stability, not truth.

import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Session } from '../../src/session/session.ts';
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

  it.each(names)(
    '%s goes on the same when the session is written down and read back at any moment',
    async (name) => {
      const script = await readScript(readFileSync(`${import.meta.dirname}/${name}.session`, 'utf8'));
      const asPlayed = transcript(playScript(script));
      expect(transcript(playScript(script, { between: structuredClone }))).toBe(asPlayed);
      expect(transcript(playScript(script, { between: writtenDown }))).toBe(asPlayed);
    },
  );
});

// Helpers

function writtenDown(session: Session): Session {
  return JSON.parse(JSON.stringify(session));
}
