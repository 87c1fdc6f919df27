// `fettle fingering`: what it prints, and what it says of what it cannot plan.

import { mkdtempSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { writeTake } from '../../src/notation/midi-file/take-writer.ts';
import { ownFolder } from '../own-folder.ts';
import { fettle } from './run.ts';

const folder = ownFolder();

function abc(body: string, instrument = 'clarinet', key = 'C'): string {
  const path = join(mkdtempSync(join(folder, 'tune-')), 'steps.abc');
  const head = `X:1\nT:Harbour Steps\n%%fettle-instrument ${instrument}\nM:4/4\nL:1/4\nQ:1/4=96\nK:${key}\n`;
  writeFileSync(path, `${head}${body}\n`);
  return path;
}

describe('fettle fingering', () => {
  it('writes the decision under the note and says why', async () => {
    const { status, out } = await fettle(['fingering', abc('A B ^d B |]')]);
    expect(status).toBe(0);
    const rows = out.split('\n');
    const [onsets, fingers] = ['onset', 'finger'].map((label) => rows.find((row) => row.startsWith(label))!);
    expect(fingers!.trim()).toMatch(/^finger +L +L$/);
    expect(fingers!.indexOf('L')).toBe(onsets!.indexOf('2'));
    expect(out).toContain('B4 left: the right little finger would slide to D#5 after it (onset 2)');
    expect(out).toContain('A4 to B4: eight fingers at once over the break (onset 2)');
  });

  it('names a slide that cannot be helped', async () => {
    const { out } = await fettle(['fingering', abc('^d c ^g G |]')]);
    expect(out).toMatch(/Slides\n.*little finger slides/);
  });

  it('knows the extra lever where it is told of it', async () => {
    const { out } = await fettle(['fingering', abc('^d c ^g G |]'), '--keywork', 'left-e-flat']);
    expect(out).not.toContain('Slides');
    expect(out).toContain('D#5 left (believed, not sure)');
    expect(out).toMatch(/^finger L\? /m);
  });

  it('keeps the plan of the whole passage where only a part of it is asked for', async () => {
    const path = abc('B c A G | ^d B A G |]');
    const whole = JSON.parse((await fettle(['fingering', path, '--json'])).out);
    const part = JSON.parse((await fettle(['fingering', path, '--json', '--onsets', '2-6'])).out);
    expect(part.parts[0].notes).toEqual(whole.parts[0].notes.slice(1, 6));
    expect(whole).toMatchObject({ format: 1, parts: [{ instrument: 'clarinet' }] });
    expect(whole.parts[0].notes[5]).toMatchObject({ onset: 6, note: 'B4', name: 'left', grade: 'A' });
  });

  it('plans around a note outside of the table and says which', async () => {
    const { status, out } = await fettle(['fingering', abc("B ^d c'' B |]")]);
    expect(status).toBe(0);
    expect(out).toContain("! C7 is not in the clarinet's table: the plan goes on around it (onset 3)");
    expect(out).toContain('B4 left');
  });

  it.each([
    ['an instrument without a table', abc('A B c d |]', 'horn'), 'the horn in F: there is no table for it'],
    ['a keyboard', abc('A B c d |]', 'keyboard'), 'hands and fingers on a keyboard are another matter'],
    ['chords', abc('A [Bd] c [ce] |]'), 'several notes at once at onset 2 (bar 1) and 1 more'],
  ])('refuses %s in a sentence', async (_, path, words) => {
    const { status, err, out } = await fettle(['fingering', path]);
    expect({ status, out }).toEqual({ status: 2, out: '' });
    expect(err).toContain(`Cannot plan fingerings for the`);
    expect(err).toContain(words);
  });

  it('refuses keywork that the instrument cannot have', async () => {
    const { status, err } = await fettle(['fingering', abc('A B c d |]'), '--keywork', 'left-eflat']);
    expect(status).toBe(2);
    expect(err).toContain('Cannot use the keywork "left-eflat": for this instrument it is left-e-flat');
    expect(err).toContain('Did you mean left-e-flat?');
  });

  it('comes into the practice: a blip names the finger that was late', async () => {
    const path = abc('D E F G | A B A G |]', 'flute');
    const words = [
      '--drill',
      'through',
      '--tempo',
      '60',
      '--from',
      'model:pupil,seed=2,snag=1:blips',
      '--fast',
    ];
    const { out } = await fettle(['work', path, ...words]);
    expect(out).toContain('Blip D#4 between D4 and E4: the right ring finger was late.');
  });

  it('names the finger that was late in a recorded take too', async () => {
    const path = abc('D E F G |]', 'flute');
    const at = [62, 63, 64, 65, 67].map((pitch, i) => {
      const onMicros = [0, 600_000, 625_000, 1_250_000, 1_875_000][i]!;
      return { pitch, velocity: 80, onMicros, offMicros: pitch === 63 ? 620_000 : onMicros + 590_000 };
    });
    const take = `${path}.mid`;
    writeFileSync(take, writeTake(at));
    const { out } = await fettle(['judge', path, take]);
    expect(out).toContain('Blip D#4 between D4 and E4: the right ring finger was late.');
  });

  it('says beforehand where the snag was chosen, and where a drill has fingerings of its own', async () => {
    const path = abc('E ^d ^c =c | ^d e4 |]');
    const work = (...words: string[]) => fettle(['work', path, ...words, '--from', 'model:exact', '--fast']);
    expect((await work('--drill', 'widening')).out).toMatch(/^Hardest for the fingers: /);
    expect((await work('--drill', 'widening', '--snag', '2')).out).not.toContain('Hardest for the fingers');
    const backwards = ['--drill', 'switchback', '--variant', 'from-last', '--onsets', '2-4'];
    expect((await work(...backwards)).out).toMatch(
      /^In this order the fingerings of the passage would slide/,
    );
    const mirrored = ['--drill', 'switchback', '--variant', 'inversion', '--onsets', '2-4'];
    expect((await work(...mirrored)).out).toMatch(/^These are not the notes of the passage/);
    expect((await work('--drill', 'landings')).out).not.toContain('fingerings');
  });
});
