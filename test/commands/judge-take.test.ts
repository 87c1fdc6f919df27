import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import tonejs from '@tonejs/midi';
import { describe, expect, it } from 'vitest';
import { writeTake } from '../../src/notation/midi-file/take-writer.ts';
import { ownFolder } from '../own-folder.ts';
import { fettle } from './run.ts';

const { Midi } = tonejs;
const folder = ownFolder();

describe('fettle judge of a span', () => {
  it('judges its part of a take of the whole passage and counts the notes outside', async () => {
    const take = join(folder, 'whole.mid');
    await fettle(`convert slipway ${take}`);
    const whole = await fettle(`judge slipway ${take}`);
    expect(whole.out).toMatch(/^\+ Clean/);
    expect(whole.out).not.toContain('left out');
    const { out } = await fettle(`judge slipway ${take} --bars 2`);
    expect(out).toMatch(/^\+ Clean/);
    expect(out).toMatch(/6 of 6 notes right/);
    // The passage has 46 notes, 6 of them in bar 2 (onsets 7 to 12).
    expect(whole.out).toContain('46 of 46 notes right');
    expect(out).toContain('40 notes outside onsets 7 to 12 left out');
    const json = JSON.parse((await fettle(`judge slipway ${take} --bars 2 --json`)).out);
    expect(json.clean).toBe(true);
    expect(json.notes).toHaveLength(6);
    expect(json.extra).toEqual([]);
    expect(json.notesOutside).toBe(40);
  });
});

describe('fettle judge of a clarinet', () => {
  it('names a wrong note as the player reads it, and not as it sounds', async () => {
    const take = join(folder, 'clarinet.mid');
    await fettle(`convert slipway ${take}`);
    const recorded = new Midi(readFileSync(take));
    const notes = recorded.tracks.flatMap((track) => track.notes).sort((a, b) => a.time - b.time);
    // The second note, written G4, sounds F4; a semitone higher it is written G#4.
    expect(notes[1]!.midi).toBe(65);
    notes[1]!.midi = 66;
    writeFileSync(take, recorded.toArray());
    const { out } = await fettle(`judge slipway ${take}`);
    expect(out).toMatch(/^x Played G#4 for G4 after D4: play D4 to G4 slowly\./);
  });
});

describe('fettle judge of two notes that were swapped', () => {
  it('tells them as that, and how even the others were', async () => {
    const take = join(folder, 'swapped.mid');
    // Even quarters, of which the third and the fourth change places.
    const pitches = [60, 62, 65, 64, 67, 69, 71, 72];
    writeFileSync(
      take,
      writeTake(
        pitches.map((pitch, i) => ({ pitch, onMicros: i * 1e6, offMicros: i * 1e6 + 9e5, velocity: 80 })),
      ),
    );
    const tune = join(folder, 'scale.abc');
    writeFileSync(tune, 'X:1\nT:Scale\nM:4/4\nL:1/4\nQ:1/4=60\nK:C\nCDEF|GABc|\n');
    const { out } = await fettle(`judge ${tune} ${take} --tempo 60`);
    expect(out).toMatch(/^x Swapped E4 and F4: play E4 first, slowly\./);
    expect(out).toContain('\n  onset 3: E4 and F4 swapped\n');
    expect(out).toMatch(/^ {2}even to 0 ms/m);
    expect(out).not.toMatch(/too short/);
  });
});

describe('fettle judge of two hands', () => {
  it.each(['left', 'right'])('tells a take of the %s hand alone from one full of slips', async (hand) => {
    const take = join(folder, `${hand}.mid`);
    await fettle(`convert crosstide ${take} --hand ${hand}`);
    const { out } = await fettle(`judge crosstide ${take}`);
    expect(out).toBe(`x Only the ${hand} hand was played: --hand ${hand} judges it alone.`);
    expect(JSON.parse((await fettle(`judge crosstide ${take} --json`)).out).sentence).toBe(out.slice(2));
    expect((await fettle(`judge crosstide ${take} --hand ${hand}`)).out).toMatch(/^\+ Clean/);
  });

  it('tells one note that is missing from a hand as that', async () => {
    const take = join(folder, 'both.mid');
    await fettle(`convert crosstide ${take}`);
    const recorded = new Midi(readFileSync(take));
    const track = recorded.tracks.find(({ notes }) => notes.length > 0)!;
    track.notes.splice(6, 1);
    writeFileSync(take, recorded.toArray());
    expect((await fettle(`judge crosstide ${take}`)).out).not.toContain('hand was played');
  });
});
