import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { namedPitch } from '../../src/commands/named-note.ts';
import { loadPassage } from '../../src/commands/passage-argument.ts';
import { readTakeFile } from '../../src/commands/take-file.ts';
import { namingSource } from '../../src/devices/naming-source.ts';
import type { PlayerEvent } from '../../src/music/player-event.ts';
import { writeTake } from '../../src/notation/midi-file/take-writer.ts';
import type { PlayerSource } from '../../src/ports/player-source.ts';
import { ownFolder } from '../own-folder.ts';
import { fettle } from './run.ts';

describe('a named note', () => {
  it('sounds as the instrument reads it: written C5 on a clarinet in B flat is B flat 4', async () => {
    expect(namedPitch('C5', await loadPassage('slipway', {}))).toBe(70);
    // A shift that is asked for comes on top.
    expect(namedPitch('C5', await loadPassage('slipway', {}), { shift: '-12' })).toBe(58);
    const alto = { instrument: 'alto-sax' } as const;
    expect(namedPitch('C5', await loadPassage('slipway', {}), alto)).toBe(63);
    expect(() => namedPitch('H5', { parts: [] } as never)).toThrow(/Cannot read the note "H5"/);
  });

  it('sets the shift of all that follow and is no note itself', () => {
    let send: (event: PlayerEvent) => void = () => {};
    const instrument: PlayerSource = {
      name: 'keys',
      start: (report) => {
        send = report;
      },
      prompt: () => {},
      hush: () => {},
      close: async () => {},
    };
    const heard: PlayerEvent[] = [];
    namingSource(instrument, 70).start((event) => heard.push(event));
    const note = (type: 'note-on' | 'note-off', pitch: number, at: number): PlayerEvent =>
      type === 'note-on' ? { type, at, pitch, velocity: 80, channel: 1 } : { type, at, pitch, channel: 1 };
    // The controller sends as if it were in C: written C5 comes in as 72.
    send(note('note-on', 72, 1));
    send({ type: 'controller', at: 2, number: 2, value: 90, channel: 1 });
    send(note('note-off', 72, 3));
    send(note('note-on', 72, 4));
    send(note('note-off', 72, 5));
    expect(heard.map((event) => ('pitch' in event ? `${event.type} ${event.pitch}` : event.type))).toEqual([
      'controller',
      'note-on 70',
      'note-off 70',
    ]);
  });

  it('of a recorded take comes before the entry: the note after it falls on the first onset', async () => {
    const folder = ownFolder();
    const [take, named] = [join(folder, 'take.mid'), join(folder, 'named.mid')];
    const words = 'slipway --bars 1 --drill through --tempo 60';
    expect((await fettle(`convert ${words.replace('slipway', `slipway ${take}`)} --force`)).status).toBe(0);
    const { notes } = readTakeFile(take, {});
    const first = { pitch: 70, onMicros: 0, offMicros: 400_000, velocity: 80, channel: 1 };
    const later = notes.map((note) => ({
      ...note,
      onMicros: note.onMicros + 900_000,
      offMicros: (note.offMicros ?? note.onMicros + 1) + 900_000,
    }));
    writeFileSync(named, writeTake([first, ...later]));
    const play = (file: string, more = '') =>
      fettle(`work ${words} --from ${file} --fast --plain --passes 1${more}`);
    const clean = /1 of 1 take clean/;
    expect((await play(take)).out).toMatch(clean);
    expect((await play(named, ' --named-note C5')).out).toMatch(clean);
  });
});
