// Touch on the command line, and breath from a file through the work and the record back into a file. What stands in that
// file is read by midi-file, which is not ours.

import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseMidi } from 'midi-file';
import { describe, expect, it } from 'vitest';
import { writeTake } from '../../src/notation/midi-file/take-writer.ts';
import { ownFolder } from '../own-folder.ts';
import { fettle } from './run.ts';

const folder = ownFolder();
const file = (name: string) => join(folder, name);

/** Our own eight notes at 60, the fifth of them loud. */
writeFileSync(file('eight.abc'), 'X:1\nT:Eight\nM:4/4\nL:1/4\nQ:1/4=60\nK:C\nC D E F | G A B c |]\n');
const NOTES = [60, 62, 64, 65, 67, 69, 71, 72].map((pitch, i) => ({
  pitch,
  onMicros: 1_000_000 * (i + 1),
  offMicros: 1_000_000 * (i + 1) + 900_000,
  velocity: i === 4 ? 120 : 70 + (i % 3),
}));
const BREATH = NOTES.flatMap(({ onMicros }, i) => [
  { atMicros: onMicros - 20_000, bytes: [0xd0, 30] },
  { atMicros: onMicros + 30_000, bytes: [0xd0, i === 2 ? 38 : 76] },
]);
writeFileSync(file('loud.mid'), writeTake(NOTES));
writeFileSync(file('breath.mid'), writeTake(NOTES, [], BREATH));

describe('fettle judge and touch', () => {
  it('tells it as advice, and as a fault with --touch even; --json has figures', async () => {
    const told = await fettle(`judge ${file('eight.abc')} ${file('loud.mid')}`);
    expect(told.out).toMatch(/^\+ Clean\. .*G4 sticks out, 120 among 71: lighter there/);
    expect(told.out).toMatch(/\n {2}touch: from 70 to 120, even to \d+\.\d dB\n/);
    const asked = await fettle(`judge ${file('eight.abc')} ${file('loud.mid')} --touch even --json`);
    const json = JSON.parse(asked.out);
    expect(json).toMatchObject({ clean: false, touch: { by: 'velocity', uneven: false } });
    expect(json.troubles).toEqual([
      {
        kind: 'touch',
        by: 'velocity',
        onset: 5,
        level: 120,
        around: 71,
        decibels: json.touch.notes[0].decibels,
      },
    ]);
    // 40 log10(120 / 72): against the nearest note.
    expect(json.touch.notes[0].decibels).toBeCloseTo(40 * Math.log10(120 / 72), 1);
  });

  it('refuses another word', async () => {
    expect(await fettle(`judge ${file('eight.abc')} ${file('loud.mid')} --touch soft`)).toMatchObject({
      status: 2,
    });
  });
});

describe('fettle work and touch', () => {
  const work = (take: string, more = '') =>
    fettle(
      `work ${file('eight.abc')} --from ${file(take)} --fast --plain --drill through --passes 1 --tempo 60 --record ${file('practice.db')} ${more}`,
    );

  it('says of a clean take what stuck out, and does not go on where an even touch was asked for', async () => {
    expect((await work('loud.mid')).out).toMatch(/\+ Clean\. .*G4 sticks out, 120 among 71.*\(onward\)/);
    expect((await work('loud.mid', '--touch even')).out).toMatch(/x G4 sticks out, 120 among 71.*\(again\)/);
  });

  it('hears the breath of a recorded take, keeps it, and gives it back', async () => {
    const { out } = await work('breath.mid');
    expect(out).toMatch(/E4 drops out of the line, 38 among 76: keep the air going through it\./);
    await fettle(`record take last --record ${file('practice.db')} --out ${file('back.mid')}`);
    const [track] = parseMidi(readFileSync(file('back.mid'))).tracks;
    const values = track!.flatMap((event) => (event.type === 'channelAftertouch' ? [event.amount] : []));
    expect(values.filter((value) => value > 30)).toEqual([76, 76, 38, 76, 76, 76, 76, 76]);
  });
});
