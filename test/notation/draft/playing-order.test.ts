// Repeats, endings and jumps: by hand (common practice, no source), and against the playback order of musicxml-io 0.9.6 (MIT, development only).

import { generatePlaybackSequence, parse } from 'musicxml-io';
import { describe, expect, it } from 'vitest';
import { type BarRoute, playingOrder } from '../../../src/notation/draft/playing-order.ts';
import { readMusicXml } from '../../../src/notation/musicxml/reader.ts';
import { lots } from '../generated-passage.ts';
import { note, START, score } from '../readings.ts';

describe('playing order', () => {
  it.each<[string, BarRoute[], number[]]>([
    ['straight on', [{}, {}], [0, 1]],
    ['a repeat from the start', [{}, { repeatTimes: 2 }, {}], [0, 1, 0, 1, 2]],
    ['three times', [{ repeatTimes: 3 }, {}], [0, 0, 0, 1]],
    ['two repeats in a row', [{ repeatTimes: 2 }, { repeatTimes: 2 }], [0, 0, 1, 1]],
    ['endings', [{}, { endings: [1], repeatTimes: 2 }, { endings: [2] }, {}], [0, 1, 0, 2, 3]],
    [
      'a first ending of two bars',
      [{ repeatStart: true }, { endings: [1] }, { endings: [1], repeatTimes: 2 }, { endings: [2] }],
      [0, 1, 2, 0, 3],
    ],
    [
      'da capo al fine after a repeat: repeats are not taken again, the last ending is',
      [{}, { endings: [1], repeatTimes: 2 }, { endings: [2], fine: true }, { jump: 'capo' }],
      [0, 1, 0, 2, 3, 0, 2],
    ],
    [
      'dal segno al coda, with a repeat in the coda',
      [
        {},
        { segno: true },
        { toCoda: true },
        { jump: 'segno' },
        { coda: true, repeatStart: true },
        { repeatTimes: 2 },
      ],
      [0, 1, 2, 3, 1, 2, 4, 5, 4, 5],
    ],
    ['a jump whose bar also repeats', [{ repeatTimes: 2, jump: 'capo' }], [0, 0, 0]],
  ])('%s', (_, routes, expected) => {
    expect(playingOrder(routes)).toEqual(expected);
  });

  it('ends for any mixture of signs, and gives up where a file asks for over 20,000 bars', () => {
    for (let seed = 0; seed < 2000; seed += 1) {
      const lot = lots(seed);
      const routes = Array.from(
        { length: 12 },
        (): BarRoute => ({
          ...(lot() < 0.2 && { repeatStart: true }),
          ...(lot() < 0.2 && { repeatTimes: 2 + Math.floor(lot() * 3) }),
          ...(lot() < 0.2 && { endings: [1 + Math.floor(lot() * 3)] }),
          ...(lot() < 0.1 && { segno: true }),
          ...(lot() < 0.1 && { coda: true }),
          ...(lot() < 0.1 && { fine: true }),
          ...(lot() < 0.1 && { toCoda: true }),
          ...(lot() < 0.1 && { jump: lot() < 0.5 ? ('capo' as const) : ('segno' as const) }),
        }),
      );
      expect(playingOrder(routes)!.length).toBeLessThan(1000);
    }
    expect(playingOrder(Array.from({ length: 300 }, () => ({ repeatTimes: 100 })))).toBeUndefined();
  });
});

/** A score of sections: plain, repeated, or repeated with endings; then perhaps a da capo al fine. */
function sections(seed: number): string {
  const lot = lots(seed);
  const bars: string[] = [];
  const bar = (left: string, right: string, extra = '') => {
    const first = bars.length === 0 ? START : '';
    bars.push(
      `<measure number="${bars.length + 1}">${left}${first}${note('C4', 8)}${extra}${right}</measure>`,
    );
  };
  const forward = '<barline location="left"><repeat direction="forward"/></barline>';
  const backward = '<barline location="right"><repeat direction="backward"/></barline>';
  const ending = (number: number) =>
    `<barline location="left"><ending number="${number}" type="start"/></barline>`;
  const stop = (number: number, repeat: boolean) =>
    `<barline location="right"><ending number="${number}" type="${repeat ? 'stop' : 'discontinue'}"/>${repeat ? '<repeat direction="backward"/>' : ''}</barline>`;
  const count = 1 + Math.floor(lot() * 4);
  for (let i = 0; i < count; i += 1) {
    const kind = lot();
    if (kind < 0.3) bar('', '');
    else if (kind < 0.6) {
      bar(forward, '');
      bar('', backward);
    } else {
      bar(forward, '');
      // Two only: musicxml-io leaves out every ending but the first where there are three.
      const last = 2;
      for (let number = 1; number < last; number += 1) bar(ending(number), stop(number, true));
      bar(ending(last), stop(last, false));
      bar('', '');
    }
  }
  if (lot() < 0.3) {
    const words = (text: string, sound: string) =>
      `<direction><direction-type><words>${text}</words></direction-type><sound ${sound}="yes"/></direction>`;
    bar('', '', words('Fine', 'fine'));
    bar('', '', words('D.C. al Fine', 'dacapo'));
  }
  return score(bars.join(''));
}

it('musicxml-io and we play 300 scores with repeats, endings and da capo in the same order', () => {
  const failed: unknown[] = [];
  for (let seed = 0; seed < 300; seed += 1) {
    const text = sections(seed);
    const ours = readMusicXml(text, 's').passage!.bars.map((bar) => bar.number);
    const theirs = generatePlaybackSequence(parse(text)).map((m) => m.measureIndex + 1);
    if (ours.join() !== theirs.join()) failed.push({ seed, ours: ours.join(), theirs: theirs.join() });
  }
  expect(failed).toEqual([]);
});
