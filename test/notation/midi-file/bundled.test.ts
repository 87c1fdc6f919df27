// The bundled passages and the steps of every drill on them, through a MIDI file and back.

import { readdirSync, readFileSync } from 'node:fs';
import toneMidi from '@tonejs/midi';
import { describe, expect, it } from 'vitest';
import { DRILLS } from '../../../src/drills/catalogue.ts';
import { stepsPassage } from '../../../src/drills/steps-passage.ts';
import type { Passage } from '../../../src/music/passage.ts';
import { wholeSpan } from '../../../src/music/span.ts';
import { TICKS_PER_QUARTER } from '../../../src/music/ticks.ts';
import { readMidiFile } from '../../../src/notation/midi-file/reader.ts';
import { writeMidiFile } from '../../../src/notation/midi-file/writer.ts';
import { readPassageBytes } from '../../../src/notation/read.ts';
import { listPassage } from '../../../src/wording/listing/passage.ts';

const folder = new URL('../../../passages/', import.meta.url);
const files = readdirSync(folder).filter((file) => file.endsWith('.abc'));

async function bundled(file: string): Promise<Passage> {
  const { passage } = await readPassageBytes(readFileSync(new URL(file, folder)), file);
  if (!passage) throw new Error(`${file} is unreadable`);
  return passage;
}

function sounding(passage: Passage): string[] {
  return passage.onsets.flatMap(({ tick, notes }) =>
    notes.map((n) => `${tick} ${n.pitch} ${n.durationTicks}${n.ornament === 'grace' ? ' grace' : ''}`),
  );
}

describe('the bundled passages', () => {
  it('are there', () => {
    expect(files.length).toBeGreaterThanOrEqual(6);
  });

  it.each(files)('%s comes back from a MIDI file with every note, bar and name', async (file) => {
    const passage = await bundled(file);
    const reading = readMidiFile(writeMidiFile(passage), file);
    expect(sounding(reading.passage!)).toEqual(sounding(passage));
    // A last bar that makes up for the pickup comes back as a bar of its own meter.
    const places = (p: Passage) => p.bars.map((b) => [b.number, b.startTick, b.durationTicks, b.pickup]);
    expect(places(reading.passage!)).toEqual(places(passage));
    expect(reading.passage!.parts).toEqual(passage.parts);
    expect(reading.passage!.title).toBe(passage.title);
    expect(reading.passage!.tempo.bpm * reading.passage!.tempo.beatTicks).toBeCloseTo(
      passage.tempo.bpm * passage.tempo.beatTicks,
      -1,
    );
    expect(reading.issues.filter((i) => i.code !== 'range')).toEqual([]);
  });

  it.each(files)('%s sounds the same to @tonejs/midi', async (file) => {
    const passage = await bundled(file);
    const midi = new toneMidi.Midi(writeMidiFile(passage));
    const scale = TICKS_PER_QUARTER / midi.header.ppq;
    const theirs = midi.tracks.flatMap((t) => t.notes.map((n) => `${Math.round(n.ticks * scale)} ${n.midi}`));
    const ours = passage.onsets.flatMap((o) =>
      o.notes.filter((n) => n.ornament !== 'grace').map((n) => `${o.tick} ${n.pitch}`),
    );
    expect(theirs).toEqual(expect.arrayContaining(ours));
    expect(theirs).toHaveLength(passage.onsets.reduce((sum, o) => sum + o.notes.length, 0));
  });

  it.each(files)('%s is listed within 80 columns', async (file) => {
    const lines = listPassage(await bundled(file), 80);
    expect(Math.max(...lines.map((l) => l.length))).toBeLessThanOrEqual(80);
  });

  it.each(files)('%s gives steps of every drill that can be written and read back', async (file) => {
    const passage = await bundled(file);
    let drilled = 0;
    for (const drill of DRILLS) {
      const span = { ...wholeSpan(passage), last: Math.min(10, passage.onsets.length) };
      const steps = drill.makeSteps(span, { tempo: passage.tempo, snags: [2] });
      if (!steps.ok) continue;
      drilled++;
      const printed = stepsPassage(steps.value, passage);
      expect(printed.onsets).toHaveLength(steps.value.reduce((sum, s) => sum + s.lines[0]!.onsets.length, 0));
      expect(printed.rehearsalMarks).toHaveLength(steps.value.length);
      const back = readMidiFile(writeMidiFile(printed), file).passage!;
      const starts = (p: Passage) => p.onsets.flatMap((o) => o.notes.map((n) => `${o.tick} ${n.pitch}`));
      expect(starts(back), drill.name).toEqual(starts(printed));
      expect(back.rehearsalMarks, drill.name).toEqual(printed.rehearsalMarks);
    }
    expect(drilled).toBeGreaterThanOrEqual(4);
  });
});
