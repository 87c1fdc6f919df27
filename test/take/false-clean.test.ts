// Faults that were once called clean, and good playing that was not: each as a short session of a line of ours.

import { describe, expect, it } from 'vitest';
import { noticeWords } from '../../src/wording/notice.ts';
import { takeSentence } from '../../src/wording/sentence.ts';
import { type Played, playScript, readScript } from '../sessions/script.ts';

async function playedBy(abc: string, script: string): Promise<Played> {
  const text = `abc X:1\nabc T:Ours\nabc M:4/4\nabc L:1/4\nabc Q:1/4=60\nabc K:C\nabc ${abc}\n${script}`;
  return playScript(await readScript(text));
}

async function advices(abc: string, script: string): Promise<string[]> {
  return (await playedBy(abc, script)).effects.flatMap((effect) =>
    effect.type === 'news' && effect.news.kind === 'notice' ? [noticeWords(effect.news.notice)] : [],
  );
}

/** The verdicts of a session: a line in 4/4 in C, quarters at 60, the first take entered at 5.5 s after a bar's lead-in. */
async function verdicts(abc: string, script: string): Promise<{ clean: boolean; sentence: string }[]> {
  const { session, effects } = await playedBy(abc, script);
  return effects.flatMap((effect) =>
    effect.type === 'news' && effect.news.kind === 'verdict'
      ? [{ clean: effect.news.clean, sentence: takeSentence(effect.news.report, session.plan.span.passage) }]
      : [],
  );
}

const FIVE = 'C D E F | G4 |]';
const LANDINGS = 'set tempo 60\nset passes 1\nset drill landings\nset tolerance concert';
const THROUGH = 'set tempo 60\nset passes 1\nset drill through\nset tolerance steady';

describe('what is played past the stop', () => {
  it('is told in a step without a landing, also half a beat later and more', async () => {
    const notes = '5.500 on C4\n6.500 on D4\n7.500 on E4\n8.500 on F4\n9.500 on G4';
    const [clean] = await verdicts(FIVE, `${THROUGH}\n${notes}\n12 look`);
    expect(clean!.clean).toBe(true);
    for (const later of [10.001, 10.5, 10.9]) {
      const [ranOn] = await verdicts(FIVE, `${THROUGH}\n${notes}\n${later} on A4\n12 look`);
      expect(ranOn!.sentence, `${later}`).toMatch(/^Ran on 1 note past the stop/);
    }
  });

  it('is told in a step with a landing until shortly before the next entry', async () => {
    for (const later of [7.4, 7.7, 7.95]) {
      const [ranOn] = await verdicts(FIVE, `${LANDINGS}\n5.500 on C4\n6.500 on D4\n${later} on E4\n9 look`);
      expect(ranOn!.clean, `${later}`).toBe(false);
    }
  });
});

describe('a trill on the landing', () => {
  const trilled = 'C !trill!D E F | G4 |]';
  const on = (at: number, name: string) => `${at.toFixed(3)} on ${name}`;
  const landed = '5.500 on C4\n6.500 on D4';

  it('goes on as a trill, and with its turn at the end', async () => {
    const turns = [6.6, 6.7, 6.8, 6.9, 7].map((at, i) => on(at, i % 2 === 0 ? 'E4' : 'D4'));
    const [take] = await verdicts(trilled, `${LANDINGS}\n${landed}\n${turns.join('\n')}\n9 look`);
    expect(take!.clean).toBe(true);
  });

  it('hides no going on to the next note', async () => {
    for (const at of [7.2, 7.5, 7.7]) {
      const [take] = await verdicts(trilled, `${LANDINGS}\n${landed}\n${on(at, 'E4')}\n9 look`);
      expect(take!.sentence).toMatch(/^Ran on 1 note past the stop/);
    }
  });
});

describe('the landing', () => {
  const short = '5.500 on C4\n6.450 off C4\n6.500 on D4\n6.560 off D4';

  it('that is let go at once is not held: a fault from steady on, advice at rough', async () => {
    const [clipped] = await verdicts(FIVE, `${LANDINGS}\n${short}\n9 look`);
    expect(clipped!.sentence).toBe('Let go of D4 after 60 ms: hold the landing and hear it.');
    const [rough] = await verdicts(FIVE, `${LANDINGS.replace('concert', 'rough')}\n${short}\n9 look`);
    expect(rough!.clean).toBe(true);
    expect(rough!.sentence).toMatch(/^Clean\. .* Let go of D4 after 60 ms: hold the landing and hear it\.$/);
  });

  it('may be short where the music says so: staccato, or a rest after it', async () => {
    expect((await verdicts('C .D E F | G4 |]', `${LANDINGS}\n${short}\n9 look`))[0]!.clean).toBe(true);
    expect((await verdicts('C D/ z/ E F | G4 |]', `${LANDINGS}\n${short}\n9 look`))[0]!.clean).toBe(true);
  });

  it('held over instead of struck again is told as that', async () => {
    const tied = '5.500 on C4\n6.500 on D4\n9.500 on E4';
    const all = await verdicts(FIVE, `${LANDINGS}\n${tied}\n11.5 look`);
    expect(all[1]!.sentence).toBe('Held D4 over: strike the landing again, then go on.');
  });
});

describe('the entry', () => {
  it('of a joined run is held to where the player usually stands on the click', async () => {
    const first = '5.500 on C4\n6.500 on D4';
    const second = '8.500 on D4\n9.500 on E4';
    const third = (early: number) => `${11.5 - early} on E4\n${12.5 - early} on F4`;
    const at = async (early: number) =>
      (await verdicts(FIVE, `${LANDINGS}\n${first}\n${second}\n${third(early)}\n14.6 look`))[2]!;
    expect((await at(0)).clean).toBe(true);
    expect((await at(0.15)).sentence).toBe('All of it 150 ms early on the click: come in with the click.');
  });

  it('a beat early, a beat late or half a bar late is told once, as that', async () => {
    for (const [by, words] of [
      [-1, 'a beat early'],
      [1, 'a beat late'],
      [2, '2 beats late'],
      [-0.5, 'half a beat early'],
    ] as const) {
      const notes = ['C4', 'D4', 'E4', 'F4', 'G4'].map((name, i) => `${5.5 + i + by} on ${name}`).join('\n');
      const [told] = await verdicts(FIVE, `${THROUGH}\n${notes}\n14 look`);
      expect(told!.sentence, words).toBe(
        `You came in ${words}; the notes are right: count the lead-in aloud and come in with it.`,
      );
    }
  });

  it('with the wrong transposition is told as that after the first take, and offered', async () => {
    const notes = ['D4', 'E4', 'F#4', 'G4', 'A4'].map((name, i) => `${5.5 + i / 2} on ${name}`).join('\n');
    const [told] = await verdicts('C/ D/ E/ F/ G2 | G4 |]', `${THROUGH}\n${notes}\n13 look`);
    expect(told!.sentence).toMatch(/^Right, but all 2 semitones too high/);
    const advice = await advices('C/ D/ E/ F/ G2 | G4 |]', `${THROUGH}\n${notes}\n13 look`);
    expect(advice).toEqual(['You sound 2 semitones above the passage: press o to take that as right.']);
  });
});

describe('who stops short', () => {
  it('is told so, not that notes were missed', async () => {
    const [told] = await verdicts(FIVE, `${THROUGH}\n5.5 on C4\n6.5 on D4\n7.5 on E4\n13 look`);
    expect(told!.sentence).toBe('Stopped on E4, 2 notes before the end: go on to the last.');
  });
});

describe('a take slower than the click', () => {
  it('is told as slower, not as missed notes', async () => {
    const notes = ['C4', 'D4', 'E4', 'F4', 'G4'].map((name, i) => `${5.5 + i * 1.25} on ${name}`).join('\n');
    const [told] = await verdicts(FIVE, `${THROUGH}\n${notes}\n14 look`);
    expect(told!.sentence).toMatch(/^All of it was 25 % slower than the click/);
  });
});

describe('a chord', () => {
  it('has its missing and its added note named', async () => {
    const chords = '[CE] [DF] [EGc] [FA] | [Gc]4 |]';
    const strike = (at: number, ...names: string[]) =>
      names.map((name, i) => `${at + i * 0.004} on ${name}`).join('\n');
    const upTo = `${strike(5.5, 'C4', 'E4')}\n${strike(6.5, 'D4', 'F4')}`;
    const [missing] = await verdicts(
      chords,
      `${THROUGH}\n${upTo}\n${strike(7.5, 'E4', 'G4')}\n${strike(8.5, 'F4', 'A4')}\n${strike(9.5, 'G4', 'C5')}\n13 look`,
    );
    expect(missing!.sentence).toBe(
      'C5 of the chord on C5 is missing: play the chord alone, then in its place.',
    );
    const [added] = await verdicts(
      chords,
      `${THROUGH}\n${upTo}\n${strike(7.5, 'E4', 'G4', 'C5')}\n${strike(8.5, 'F4', 'A4')}\n${strike(9.5, 'G4', 'C5', 'D5')}\n13 look`,
    );
    expect(added!.sentence).toBe('Added D5 to the chord on C5: play the chord alone and hear it.');
  });
});

describe('a free lap of few notes', () => {
  it('is held to the spread between its intervals', async () => {
    const lap = (second: number) => `5.0 on C4\n5.9 on D4\n${5.9 + second} on C4\n12 look`;
    const set = 'set tempo 60\nset passes 1\nset drill switchback\nset tolerance steady';
    const [even] = await verdicts(FIVE, `${set}\n${lap(0.93)}`);
    expect(even!.clean).toBe(true);
    const [uneven] = await verdicts(FIVE, `${set}\n${lap(1.1)}`);
    expect(uneven!.clean).toBe(false);
  });
});

describe('an ornament at the end', () => {
  const trill = (at: number, low: string, high: string) =>
    [0, 0.12, 0.24, 0.36, 0.48, 0.6].map((d, i) => `${at + d} on ${i % 2 === 0 ? low : high}`).join('\n');

  it('is no running on, on a landing as on a last note; another note is', async () => {
    const music = 'C !trill!D E F | G4 |]';
    const [landed] = await verdicts(music, `${LANDINGS}\n5.5 on C4\n${trill(6.5, 'D4', 'E4')}\n9 look`);
    expect(landed!.clean).toBe(true);
    const [ranOn] = await verdicts(
      music,
      `${LANDINGS}\n5.5 on C4\n${trill(6.5, 'D4', 'E4')}\n7.5 on G4\n9 look`,
    );
    expect(ranOn!.sentence).toMatch(/^Ran on 1 note/);
    const [plain] = await verdicts(FIVE, `${LANDINGS}\n5.5 on C4\n${trill(6.5, 'D4', 'E4')}\n9 look`);
    expect(plain!.clean).toBe(false);
  });
});
