// Hearing a step first.

import { describe, expect, it } from 'vitest';
import { openClick } from '../../src/commands/click-argument.ts';
import { draw } from '../../src/screen/draw.ts';
import type { Effect } from '../../src/session/effect.ts';
import { plainText } from '../screen/emulator.ts';
import { FIVE_NOTES, playScript, readScript, tuneLines } from '../sessions/script.ts';
import { begin, liveSession, SECOND, seat } from './live-session.ts';
import { fiveNotesPlan, planForPlayers } from './simulate.ts';

describe('hearing a step', () => {
  it('sounds its notes, each 10 ms short, and its clicks, and then counts in', async () => {
    const { effects } = await played(undefined, 'set drill through', '3 press hear');
    expect(heardIn(effects).notes).toEqual([
      [3.3, 60, 0.99],
      [4.3, 62, 0.99],
      [5.3, 64, 0.99],
      [6.3, 65, 0.99],
      [7.3, 67, 3.99],
    ]);
    expect(heardIn(effects).velocities).toEqual([64, 64, 64, 64, 64]);
    // From the entry to the last note, without the lead-in and what is counted after.
    expect(heardIn(effects).clicks).toEqual([
      [3.3, 'bar'],
      [4.3, 'beat'],
      [5.3, 'beat'],
      [6.3, 'beat'],
      [7.3, 'bar'],
    ]);
  });

  it('sounds the quickest notes for a twentieth of a second at least', async () => {
    const quick = `${tuneLines('C/8 D/8 E/8 F/8 z/ z z2 | G4 |]')}\nset tempo 150`;
    const { effects } = await playedFrom(quick, undefined, 'set drill through', '3 press hear');
    // At 150 a minute 32nds of 50 ms.
    expect(heardIn(effects).notes.map(([, , lasts]) => lasts)).toEqual([0.05, 0.05, 0.05, 0.05, 1.59]);
  });

  it('breaks off what is being played, which is kept as taken again', async () => {
    const { effects, session } = await played(undefined, '5.5 on C4', '6 press hear');
    expect(effects.flatMap((effect) => (effect.type === 'keep' ? [effect.take.end] : []))).toEqual([
      'retaken',
    ]);
    expect(session.stage).toMatchObject({ kind: 'listening', take: { attempt: 1 } });
  });

  it('of one player who rests says that there is nothing to hear', async () => {
    const plan = planForPlayers(await fiveNotesPlan(), ['flute', 'oboe']);
    const [flute, oboe] = plan.players;
    const rests = liveSession({ ...plan, players: [flute!, { ...oboe!, parts: [1] }] });
    rests.told(begin(), seat('hear', 'oboe', 2));
    expect(rests.ofType('sound')).toEqual([]);
    expect(rests.news('notice')).toEqual([{ kind: 'notice', notice: { kind: 'rests', player: 'oboe' } }]);
    rests.told(seat('hear', 'flute', 3));
    expect(rests.ofType('sound')).toHaveLength(1);
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

describe('hearing the last take again', () => {
  it('sounds it from its beat on as it was played, to its end at most, with the clicks up to its stop', async () => {
    const { effects } = await played(
      undefined,
      'set drill through',
      '5.45 on C4 70',
      '6.4 off C4',
      '6.56 on D#4 90',
      // Never let go, and one more after the run has stopped: neither sounds past the take.
      '7.9 on A4 50',
      '14 press replay',
    );
    const [c, dSharp, after] = heardIn(effects).notes;
    // The C came 50 ms before its beat: all is told from there.
    expect(c).toEqual([14.3, 60, 0.95]);
    expect(dSharp!.slice(0, 2)).toEqual([15.41, 63]);
    expect(after!.slice(0, 2)).toEqual([16.75, 69]);
    // The run was stopped on beat 3, at 7.5 s; its rest is over two beats later.
    expect(dSharp![0]! + dSharp![2]!).toBeCloseTo(14.3 + (9.5 - 5.45));
    expect(heardIn(effects).velocities).toEqual([70, 90, 50]);
    expect(heardIn(effects).clicks).toEqual([
      [14.35, 'bar'],
      [15.35, 'beat'],
      [16.35, 'beat'],
    ]);
  });

  it('sounds a take that came in late from its first beat, and one without a click from its first note', async () => {
    const late = await played(undefined, 'set drill through', '5.7 on C4', '5.9 off C4', '19 press replay');
    expect(heardIn(late.effects).notes).toEqual([[19.5, 60, 0.2]]);
    const free = await played(undefined, 'set drill switchback', '8 on C4', '8.5 off C4', '19 press replay');
    expect(heardIn(free.effects).notes).toEqual([[19.3, 60, 0.5]]);
    expect(heardIn(free.effects).clicks).toEqual([]);
  });

  it('has nothing to sound before the first verdict and after a take of nothing', async () => {
    for (const events of [['5.5 on C4', '6 press replay'], ['9 press replay']]) {
      const { effects, lines } = await played(undefined, ...events);
      expect(effects.filter(({ type }) => type === 'sound')).toEqual([]);
      expect(lines.join('\n')).toContain('No take has been played yet.');
    }
  });
});

// Helpers

/** What was sounded: times and lengths in seconds, and the clicks with it. */
function heardIn(effects: readonly Effect[]) {
  const at = effects.findIndex(({ type }) => type === 'sound');
  const [sound, clicks] = [effects[at]!, effects[at + 1]!];
  if (sound.type !== 'sound' || clicks.type !== 'clicks') throw new Error('Nothing was sounded');
  return {
    notes: sound.notes.map((note) => [note.atMicros / SECOND, note.pitch, note.durationMicros / SECOND]),
    velocities: sound.notes.map(({ velocity }) => velocity),
    clicks: clicks.clicks.map((click) => [click.atMicros / SECOND, click.accent]),
  };
}

const played = (unheard: string | undefined, ...events: string[]) =>
  playedFrom(FIVE_NOTES, unheard, 'set tempo 60', ...events);

async function playedFrom(tune: string, unheard: string | undefined, ...events: string[]) {
  const script = await readScript([tune, 'set passes 1', ...events].join('\n'));
  return playScript({ ...script, plan: { ...script.plan, ...(unheard === undefined ? {} : { unheard }) } });
}
