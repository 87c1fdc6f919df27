// `fettle fingering`: what it prints, and what it says of what it cannot plan.

import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { fettle } from './run.ts';

function abc(body: string, instrument = 'clarinet', key = 'C'): string {
  const path = join(mkdtempSync(join(tmpdir(), 'fettle-fingering-')), 'steps.abc');
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
});
