// The bundled passages: readable without an issue, in range, of the promised size, and each with its difficulty.

import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import { INSTRUMENTS } from '../../src/music/instrument.ts';
import { barTicks } from '../../src/music/meter.ts';
import { spellingName, spellingToPitch } from '../../src/music/pitch.ts';
import { readPassageBytes } from '../../src/notation/read.ts';
import { BUNDLED_FILES, bundledPassage, bundledText } from './bundled.ts';

describe.each(BUNDLED_FILES)('%s', (file) => {
  it('reads without an issue and counts its notes', async () => {
    const reading = await readPassageBytes(new TextEncoder().encode(bundledText(file)), file);
    expect(reading.issues).toEqual([]);
    expect(reading.noteCount).toBe(reading.passage!.onsets.flatMap((o) => o.notes).length);
  });

  it('has 4 to 8 whole bars and 30 to 90 onsets, and a pickup at most beside them', async () => {
    const { bars, onsets } = await bundledPassage(file);
    const numbered = bars.filter((bar) => !bar.pickup);
    expect(numbered.length).toBeGreaterThanOrEqual(4);
    expect(numbered.length).toBeLessThanOrEqual(8);
    expect(onsets.length).toBeGreaterThanOrEqual(30);
    expect(onsets.length).toBeLessThanOrEqual(90);
    const full = numbered.slice(0, -1).every((bar) => bar.durationTicks === barTicks(bar.meter));
    expect(full).toBe(true);
  });

  it('stays in its instrument’s written range and sounds as the instrument does', async () => {
    const passage = await bundledPassage(file);
    for (const { notes } of passage.onsets) {
      for (const note of notes) {
        const { lowest, highest, transposition } = INSTRUMENTS[passage.parts[note.part]!.instrument];
        const written = spellingToPitch(note.spelling);
        expect(note.pitch - written).toBe(transposition);
        expect(written).toBeGreaterThanOrEqual(lowest);
        expect(written).toBeLessThanOrEqual(highest);
      }
    }
  });

  it('is named in the README of the passages and written for the band', async () => {
    const readme = readFileSync(resolve(import.meta.dirname, '../../passages/README.md'), 'utf8');
    const passage = await bundledPassage(file);
    expect(readme).toContain(`\`${file.replace(/\.\w+$/, '')}\`, ${passage.title}`);
    expect(passage.composer).toBe('for the Tidewrack Wind Band');
  });
});

describe('the difficulties', () => {
  const names = async (file: string) =>
    (await bundledPassage(file)).onsets.map(({ notes }) =>
      notes.map((n) => spellingName(n.spelling)).join('+'),
    );
  const steps = (list: readonly string[], a: string, b: string) =>
    list.filter((name, i) => (name === a && list[i + 1] === b) || (name === b && list[i + 1] === a)).length;

  it('slipway crosses the clarinet’s break both ways', async () => {
    const line = await names('slipway.abc');
    // Written A4 or Bb4 and below lie under the break, B4 and above over it (facts on the clarinet's register key).
    const over = (await bundledPassage('slipway.abc')).onsets.map(
      (o) => spellingToPitch(o.notes[0]!.spelling) >= 71,
    );
    expect(over.filter((o, i) => i > 0 && o !== over[i - 1]).length).toBeGreaterThanOrEqual(10);
    expect(steps(line, 'A#4', 'B4')).toBeGreaterThanOrEqual(2);
  });

  it('lanterns crosses the saxophone’s break from C#5 to D5 in seven eighths', async () => {
    const passage = await bundledPassage('lanterns.abc');
    expect(passage.bars.every((bar) => bar.meter.count === 7 && bar.meter.unit === 8)).toBe(true);
    expect(steps(await names('lanterns.abc'), 'C#5', 'D5')).toBeGreaterThanOrEqual(8);
  });

  it('ropewalk leaps a sixth or more in running sixteenths', async () => {
    const { onsets } = await bundledPassage('ropewalk.abc');
    const leaps = onsets.filter((o, i) => {
      const next = onsets[i + 1];
      return next && next.tick - o.tick === 2520 && Math.abs(next.notes[0]!.pitch - o.notes[0]!.pitch) >= 8;
    });
    expect(leaps.length).toBeGreaterThanOrEqual(8);
  });

  it('mudlarks goes in six eighths from a pickup', async () => {
    const { bars } = await bundledPassage('mudlarks.abc');
    expect(bars[0]).toMatchObject({ number: 0, pickup: true, meter: { count: 6, unit: 8 } });
  });

  it('crosstide sets three against two on nearly every beat', async () => {
    const ticks = (await bundledPassage('crosstide.abc')).onsets.map((o) => o.tick % 10080);
    expect(ticks.filter((t) => t === 3360).length).toBe(18);
    expect(ticks.filter((t) => t === 5040).length).toBe(18);
  });

  it('fogbell starts notes off the beat and holds them over it', async () => {
    const { onsets } = await bundledPassage('fogbell.abc');
    const over = onsets.filter((o) => {
      const end = o.tick + o.notes[0]!.durationTicks;
      return o.tick % 10080 !== 0 && Math.floor(o.tick / 10080) < Math.floor((end - 1) / 10080);
    });
    expect(over.length).toBeGreaterThanOrEqual(8);
  });

  it('lamplighter has two staves and chords of three notes in one hand', async () => {
    const { onsets } = await bundledPassage('lamplighter.abc');
    expect(new Set(onsets.flatMap((o) => o.notes.map((n) => n.staff)))).toEqual(new Set([1, 2]));
    expect(
      onsets.filter((o) => o.notes.filter((n) => n.staff === 1).length >= 3).length,
    ).toBeGreaterThanOrEqual(12);
  });
});
