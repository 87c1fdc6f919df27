// Several players on the screen: a row for each at every size that holds them, and what a teacher may ask.

import { describe, expect, it } from 'vitest';
import type { TerminalSize } from '../../src/ports/terminal.ts';
import { draw } from '../../src/screen/draw.ts';
import { seatAskForKey } from '../../src/screen/keymap.ts';
import { advance } from '../../src/session/advance.ts';
import type { SessionEvent } from '../../src/session/event.ts';
import type { Session } from '../../src/session/session.ts';
import { tooFarNotice } from '../../src/wording/section.ts';
import { planFor, planForPlayers, simulate } from '../session/simulate.ts';
import { playScript } from '../sessions/script.ts';
import { plainText } from './emulator.ts';

const SIXTEEN = Array.from({ length: 16 }, (_, i) => `Reed ${i + 1}`);
const plan = {
  ...planForPlayers(
    await planFor('slipway', { bars: '1-4', drill: 'landings', every: 'bar', tempo: '72' }),
    SIXTEEN,
  ),
  section: { name: 'reeds', runOn: true },
};
/** Fifteen steady ones, one of them 40 ms late, and one with a wrong note. */
const { played } = await simulate(
  plan,
  SIXTEEN.map((_, i) =>
    i === 2 ? 'model:exact,snag=1:wrong' : `model:exact,offset=${i === 1 ? 40 : i % 4},sd=5,seed=${i + 1}`,
  ),
  0.4,
);
/** In the run, and after the verdict. */
const PLAYING = 5.2;
const JUDGED = 11;
/** While the first landing is held. */
const HELD = 9;

describe('the screen of a section', () => {
  it('fits every size, and has a row for each of sixteen from 80x24 on', () => {
    const sessions = [0.5, PLAYING, JUDGED].map((at) => sixteenAt(at));
    for (const size of [
      [80, 24],
      [120, 40],
      [200, 60],
      [60, 16],
      [24, 6],
      [1, 1],
    ] as const) {
      for (const session of sessions) {
        const rows = screen(session, { columns: size[0], rows: size[1] });
        expect(rows).toHaveLength(size[1]);
        for (const row of rows) expect([...row]).toHaveLength(size[0]);
        if (size[0] < 80 || size[1] < 24) continue;
        for (const name of SIXTEEN)
          expect(rows.filter((row) => row.slice(3).startsWith(name.padEnd(12)))).toHaveLength(1);
      }
    }
  });

  it('has names in full at 80x24, and what was asked for in a pause before what was said of the take', () => {
    const names = SIXTEEN.map((_, i) => `${i % 2 ? 'First' : 'Second'} tenor ${i}`);
    const named = (session: Session): Session => ({
      ...session,
      plan: { ...session.plan, players: session.plan.players.map((one, i) => ({ ...one, name: names[i]! })) },
    });
    const judged = named(sixteenAt(JUDGED));
    const rows = screen(judged, { columns: 80, rows: 24 });
    for (const name of names) expect(rows.some((row) => row.slice(3).startsWith(name))).toBe(true);
    const asked = advance(judged, { type: 'control', at: judged.now + 1, control: 'help' }).session;
    const words = screen(asked, { columns: 80, rows: 24 }).slice(-4).join(' ').replace(/ +/g, ' ');
    expect(words).toMatch(
      /^ ?Play from the left to the note in brackets, in time with the click, and hold it for the beats shown\. When/,
    );
  });

  it('has a longer name in full where the marks leave room for it', () => {
    const name = 'Keyboard, the right hand';
    const session = sixteenAt(JUDGED);
    const players = session.plan.players.map((one, i) => (i === 2 ? { ...one, name } : one));
    const rows = screen({ ...session, plan: { ...session.plan, players } });
    expect(rows.filter((row) => row.slice(3).startsWith(`${name} `))).toHaveLength(1);
  });

  it('is drawn larger for few: the count, marks two rows high or more, and what every player is told, once', () => {
    const three = planForPlayers(plan, SIXTEEN.slice(0, 3));
    const at = (seconds: number): Session => {
      const until = seconds * 1e6;
      const playing = played.filter(({ at: when, player }) => when <= until && SIXTEEN.indexOf(player) < 3);
      const events: SessionEvent[] = [...playing, { type: 'wake', at: until }];
      return playScript({
        plan: { ...three, section: { name: 'reeds', runOn: true } },
        events: events.map((event) => ({ text: '', event })),
      }).session;
    };
    for (const size of [
      { columns: 80, rows: 24 },
      { columns: 120, rows: 40 },
    ]) {
      const counted = screen(at(PLAYING), size);
      // A digit is five cells wide and high.
      expect(counted.filter((row) => /^ {3}[# ]*#[# ]*( {3}|$)/.test(row))).toHaveLength(5);
      const judged = screen(at(JUDGED), size);
      const first = judged.findIndex((row) => row.includes(' Reed 1 '));
      expect(judged[first + 1]).toMatch(/^ {10,}\++/);
      const words = judged.join(' ').replace(/ +/g, ' ');
      expect(words).toMatch(
        /x Reed 3 broke at .* \+ Reed 1: Clean\. .* 72 ms ahead of the others\. \+ Reed 2: Clean\. .* late on the click\. /,
      );
      expect(words).not.toMatch(/Reed 3: /);
    }
  });

  it('has the landing in brackets, and while it is held what is coming', async () => {
    const names = ['Reed 1', 'Reed 2', 'Reed 4'];
    const once = await planFor('slipway', {
      bars: '1-4',
      drill: 'landings',
      every: 'bar',
      tempo: '72',
      passes: '1',
    });
    const clean = planForPlayers(once, names);
    const frames = [PLAYING, HELD].map((seconds) => {
      const events: SessionEvent[] = [
        ...played.filter(({ at, player }) => at <= seconds * 1e6 && names.includes(player)),
        { type: 'wake', at: seconds * 1e6 },
      ];
      const { session } = playScript({
        plan: { ...clean, section: { name: 'reeds', runOn: true } },
        events: events.map((event) => ({ text: '', event })),
      });
      return screen(session, { columns: 120, rows: 40 });
    });
    for (const name of names)
      expect(frames.map((rows) => rowOf(rows, name))).toEqual([
        expect.stringMatching(/\+{4}.*\[\.+\] /),
        expect.stringMatching(/\+{4}\[\++\] /),
      ]);
    expect(frames[0]!.join()).not.toContain('coming:');
    expect(frames[1]!.join()).toMatch(/HOLD .* coming: bar 2/);
  });

  it('has room for all of what to do when one sits too far away to play together', () => {
    const notice = `Tidewrack second clarinet: ${tooFarNotice(164_000)}`;
    const begun = playScript({
      plan: { ...plan, notice },
      events: [{ text: '', event: { type: 'wake', at: 500_000 } }],
    }).session;
    const said = screen(begun)
      .map((row) => row.trim())
      .join(' ');
    expect(said).toContain('there: fettle work PASSAGE --player NAME), then fettle section compare.');
  });

  it('says of each what is right so far while it is played, and afterwards where it broke and who is early', () => {
    const playing = screen(sixteenAt(PLAYING));
    expect(rowOf(playing, 'Reed 2')).toMatch(/\+\+.*\d\/7/);
    const judged = screen(sixteenAt(JUDGED));
    // Reed 3 plays a wrong second note, Reed 2 is 40 ms late of all.
    expect(rowOf(judged, 'Reed 3')).toMatch(/^ x .*bar 1\.\d/);
    expect(rowOf(judged, 'Reed 2')).toMatch(/\d\d late$/);
    expect(judged.some((row) => /15 of 16 clean, together within \d+ ms\./.test(row))).toBe(true);
    expect(judged.some((row) => /^ x Reed 3 broke at bar 1, beat/.test(row))).toBe(true);
  });

  it('says who is away, excused, muted, focused and pointed at', () => {
    const session = sixteenAt(JUDGED, [
      { type: 'seat', at: 1, player: 'Reed 4', ask: 'excuse' },
      { type: 'seat', at: 2, player: 'Reed 5', ask: 'mute' },
      { type: 'played', at: 3, player: 'Reed 6', event: { type: 'lost', at: 3, reason: 'unplugged' } },
      { type: 'seat', at: 4, player: 'Reed 7', ask: 'focus' },
    ]);
    const rows = screen(session);
    expect(rowOf(rows, 'Reed 4')).toContain('excused');
    expect(rowOf(rows, 'Reed 5')).toContain('muted');
    expect(rowOf(rows, 'Reed 6')).toContain('AWAY');
    expect(rowOf(rows, 'Reed 7')).toMatch(/^>.*FOCUS/);
    expect(rows.some((row) => row.includes('1 of 1 clean'))).toBe(true);
  });

  it('is told by marks and words, never by colour alone, in ASCII where asked', () => {
    for (const row of screen(sixteenAt(JUDGED))) expect(row).toMatch(/^[ -~]*$/);
  });
});

describe('the keys for one player', () => {
  it('point by number and by step, and ask of whom is pointed at', () => {
    expect(seatAskForKey('3', undefined, 16)).toEqual({ player: 2, ask: 'point' });
    expect(seatAskForKey('9', undefined, 3)).toBeUndefined();
    expect(seatAskForKey('.', undefined, 3)).toEqual({ player: 0, ask: 'point' });
    expect(seatAskForKey('.', 2, 3)).toEqual({ player: 0, ask: 'point' });
    expect(seatAskForKey(',', 0, 3)).toEqual({ player: 2, ask: 'point' });
    expect(seatAskForKey('m', 1, 3)).toEqual({ player: 1, ask: 'mute' });
    expect(seatAskForKey('m', undefined, 3)).toBeUndefined();
    expect(seatAskForKey('q', 1, 3)).toBeUndefined();
  });
});

// Helpers

function screen(session: Session, size: TerminalSize = { columns: 80, rows: 24 }): string[] {
  return plainText(draw(session, size, { unicode: false, source: '' }));
}

function rowOf(rows: readonly string[], name: string): string {
  return rows.find((row) => row.includes(` ${name} `))!.trimEnd();
}

/** The session of sixteen at so many seconds. */
function sixteenAt(seconds: number, first: readonly SessionEvent[] = []): Session {
  const events: SessionEvent[] = [
    ...first,
    ...played.filter(({ at }) => at <= seconds * 1e6),
    { type: 'wake', at: seconds * 1e6 },
  ];
  return playScript({ plan, events: events.map((event) => ({ text: '', event })) }).session;
}
