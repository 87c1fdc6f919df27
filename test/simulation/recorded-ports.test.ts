import { describe, expect, it } from 'vitest';
import { MemoryRecord } from '../../src/simulation/memory-record.ts';
import { RecordedClick } from '../../src/simulation/recorded-click.ts';
import { RecordedTerminal } from '../../src/simulation/recorded-terminal.ts';
import { madeEntry } from '../record/made-entry.ts';

describe('the record in memory', () => {
  it('gives back the entries in order of writing, filtered, the newest of many', () => {
    const record = new MemoryRecord();
    for (const [sitting, passage, order] of [
      ['a', 'harbour-bells', 1],
      ['a', 'capstan', 2],
      ['b', 'harbour-bells', 3],
    ] as const) {
      record.append(madeEntry(order, { sitting, passage }));
    }
    const orders = (filter?: Parameters<typeof record.entries>[0]) =>
      record.entries(filter).map((e) => e.order);
    expect(orders()).toEqual([1, 2, 3]);
    expect(orders({ passage: 'harbour-bells' })).toEqual([1, 3]);
    expect(orders({ passage: 'harbour-bells', players: ['nobody'] })).toEqual([]);
    expect(orders({ limit: 2 })).toEqual([2, 3]);
    expect(orders({ limit: 0 })).toEqual([]);
  });

  it('is not changed by what is done to an entry afterwards, and shares nothing with another', () => {
    const record = new MemoryRecord();
    const selection = { part: '1' };
    record.append(madeEntry(1, { selection }));
    selection.part = '2';
    expect(record.entries()[0]!.selection).toEqual({ part: '1' });
    expect(new MemoryRecord().entries()).toEqual([]);
  });

  it('remembers small settings by name, and refuses to work when closed', () => {
    const record = new MemoryRecord();
    expect(record.recall('lag')).toBeUndefined();
    record.remember('lag', { micros: 12 });
    expect(record.recall('lag')).toEqual({ micros: 12 });
    record.close();
    expect(() => record.append(madeEntry(1))).toThrow('closed');
  });
});

describe('the recorded click', () => {
  it('keeps by time what was to be heard, without what was silenced', async () => {
    const click = new RecordedClick();
    click.schedule([
      { atMicros: 2000, accent: 'beat' },
      { atMicros: 1000, accent: 'bar' },
    ]);
    click.schedule([{ atMicros: 1500, accent: 'division' }]);
    click.scheduleSignal('again', 3000);
    click.scheduleNotes([{ atMicros: 1200, durationMicros: 5000, pitch: 60, velocity: 70 }]);
    expect(click.clicks.map((c) => c.atMicros)).toEqual([1000, 1500, 2000]);
    click.silenceFrom(1500);
    expect(click.clicks).toEqual([{ atMicros: 1000, accent: 'bar' }]);
    expect(click.signals).toEqual([]);
    expect(click.notes).toEqual([{ atMicros: 1200, durationMicros: 300, pitch: 60, velocity: 70 }]);
    expect(click.silencedFrom).toEqual([1500]);
    await click.close();
    expect(() => click.schedule([])).toThrow('closed');
  });
});

describe('the recorded terminal', () => {
  it('keeps frames, presses keys and changes its size', () => {
    const terminal = new RecordedTerminal({ columns: 10, rows: 2 });
    const seen: string[] = [];
    terminal.onKey((key) => seen.push(key.name));
    terminal.onResize(() => seen.push(`${terminal.size().columns} columns`));
    terminal.draw({
      columns: 10,
      rows: 2,
      lines: [
        [
          { text: 'C4 ', role: 'strong' },
          { text: 'late', role: 'late' },
        ],
      ],
    });
    terminal.press('space', 'pageup');
    terminal.resize({ columns: 12, rows: 3 });
    expect(seen).toEqual(['space', 'pageup', '12 columns']);
    expect(terminal.lines()).toEqual(['C4 late']);
  });

  it('refuses a frame that says one size and has another', () => {
    const terminal = new RecordedTerminal();
    const row = [{ text: 'toolong', role: 'plain' as const }];
    expect(() => terminal.draw({ columns: 3, rows: 1, lines: [row] })).toThrow('7 cells in 3 columns');
    expect(() => terminal.draw({ columns: 9, rows: 1, lines: [row, row] })).toThrow('2 lines');
    terminal.close();
    terminal.close();
    expect(() => terminal.draw({ columns: 9, rows: 1, lines: [] })).toThrow('closed');
  });
});
