// What ends a pause: what began it, and the player always.

import { describe, expect, it } from 'vitest';
import { draw } from '../../src/screen/draw.ts';
import { plainText } from '../screen/emulator.ts';
import { FIVE_NOTES, playScript, readScript } from '../sessions/script.ts';
import { begin, liveSession, press, SECOND, strike, wait } from './live-session.ts';
import { fiveNotesPlan } from './simulate.ts';

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

it('keeps what was played before it, neither clean nor counted, and nothing where nothing was played', async () => {
  const work = liveSession(await fiveNotesPlan());
  work.told(begin(), press('pause', 4), press('pause', 5), strike(60, 10.5), press('pause', 11));
  const [kept, ...others] = work.ofType('keep');
  expect(kept!.take).toMatchObject({ order: 1, end: 'paused', clean: false, counted: false, onward: false });
  expect(others).toEqual([]);
});

describe('going on after a pause', () => {
  it('of five minutes counts the playing from the beginning, for it was a rest; after a shorter one it does not', async () => {
    const playedAfter = async (seconds: number) => {
      const work = liveSession(await fiveNotesPlan());
      const { playedMicros } = work.told(begin(), strike(60, 5.5), press('pause', 6));
      return [playedMicros / SECOND, work.told(press('pause', 6 + seconds)).playedMicros / SECOND];
    };
    // From the first click, at 1.5 s, to the pause.
    expect(await playedAfter(299)).toEqual([4.5, 4.5]);
    expect(await playedAfter(300)).toEqual([4.5, 0]);
  });

  it('takes what was told away, and forgets the silence before', async () => {
    const work = liveSession(await fiveNotesPlan());
    const silent = work.told(begin(), wait(40));
    expect(silent).toMatchObject({ silentInARow: 2, stage: { kind: 'paused' } });
    const going = work.told(press('pause', 41));
    expect([going.silentInARow, going.players[0]!.silentInARow]).toEqual([0, 0]);
    expect(work.told(press('help', 42)).notice).toBeDefined();
    expect(work.told(press('pause', 43)).notice).toBeUndefined();
    expect(work.news('resumed')).toHaveLength(2);
    // Again two takes of silence, and not one.
    expect(work.told(wait(54)).stage.kind).not.toBe('paused');
    expect(work.told(wait(90)).stage.kind).toBe('paused');
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
