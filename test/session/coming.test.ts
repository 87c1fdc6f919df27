// The run that comes after a landing, as it is known while the landing is held.

import { describe, expect, it } from 'vitest';
import { advance } from '../../src/session/advance.ts';
import { comingRun } from '../../src/session/coming.ts';
import { type Session, takeOf } from '../../src/session/session.ts';
import { FIVE_NOTES, playScript, readScript } from '../sessions/script.ts';

/** Landed on the second of two notes at 6.5 s, and looked at before the verdict. */
async function landed(): Promise<Session> {
  const script = `${FIVE_NOTES}\nset tempo 60\nset passes 1\n5.500 on C4\n6.500 on D4\n7.2 look`;
  return playScript(await readScript(script)).session;
}

describe('the coming run', () => {
  it('is the one that is planned at the verdict', async () => {
    const session = await landed();
    const coming = comingRun(session)!;
    const { session: judged } = advance(session, { type: 'wake', at: 8_200_000 });
    expect(judged.shown!.onward).toBe(true);
    expect(takeOf(judged)).toEqual(coming);
  });

  it('is none once the instrument has nothing more to send: the session ends at the verdict', async () => {
    const session = await landed();
    expect(comingRun(session)).toBeDefined();
    const event = { type: 'ended', at: 7_300_000 } as const;
    const { session: ended } = advance(session, { type: 'played', at: event.at, player: 'player', event });
    expect(comingRun(ended)).toBeUndefined();
    expect(advance(ended, { type: 'wake', at: 8_200_000 }).session.stage.kind).toBe('finished');
  });
});
