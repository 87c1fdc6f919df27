import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import tonejs from '@tonejs/midi';
import { describe, expect, it } from 'vitest';
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
