// What ends a pause: what began it, and the player always.

import { describe, expect, it } from 'vitest';
import { draw } from '../../src/screen/draw.ts';
import { plainText } from '../screen/emulator.ts';
import { FIVE_NOTES, playScript, readScript } from '../sessions/script.ts';

describe('a pause', () => {
  it('that the player asked for stays when the instrument comes back', async () => {
    expect(await stageAfter('6 press pause', '8 lost', '9 found')).toBe('paused');
    expect(await stageAfter('6 press pause', '8 lost', '9 found', '10 on C4')).toBe('paused');
    expect(await stageAfter('6 press pause', '8 lost', '9 found', '10 press pause')).toBe('waiting');
  });

  it('says that the instrument is gone only as long as it is', async () => {
    expect(await screen('6 press pause', '8 lost')).toContain('Paused: the instrument is unplugged.');
    expect(await screen('6 press pause', '8 lost', '9 found')).toContain('Paused.');
  });

  it('because the instrument was lost ends when it is found', async () => {
    expect(await stageAfter('6 lost')).toBe('paused');
    expect(await stageAfter('6 lost', '9 found')).toBe('waiting');
  });

  it('because nothing was heard goes on with a note, not with a plug', async () => {
    expect((await sessionAfter('60 lost', '61 found')).stage).toMatchObject({
      kind: 'paused',
      reason: { by: 'silence' },
    });
    expect(await stageAfter('60 lost', '61 found', '62 on C4')).toBe('waiting');
  });
});

// Helpers

const PASSAGE = `${FIVE_NOTES}
set tempo 60
set drill through`;

async function sessionAfter(...events: string[]) {
  return playScript(await readScript([PASSAGE, ...events].join('\n'))).session;
}

async function stageAfter(...events: string[]) {
  return (await sessionAfter(...events)).stage.kind;
}

async function screen(...events: string[]) {
  const frame = draw(
    await sessionAfter(...events),
    { columns: 80, rows: 24 },
    { unicode: false, source: 'script' },
  );
  return plainText(frame).join('\n');
}
