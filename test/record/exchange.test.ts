// Whole sessions of every drill go through the file for other programs and through the database and come back as they
// were: nothing that a session keeps is unknown to the schema, and nothing is lost on the way.

import { describe, expect, it } from 'vitest';
import { need } from '../../src/commands/usage-problem.ts';
import { openDatabaseRecord } from '../../src/devices/database-record.ts';
import type { Passage } from '../../src/music/passage.ts';
import type { Entry } from '../../src/record/entry.ts';
import { ExchangeReader } from '../../src/record/exchange-reader.ts';
import { ExchangeWriter } from '../../src/record/exchange-writer.ts';
import { rejudged } from '../../src/record/rejudge.ts';
import { abc } from '../notation/readings.ts';
import { planFor, planForPlayers, simulate } from '../session/simulate.ts';
import { allEntries } from './kept-takes.ts';
import { madeEntry } from './made-entry.ts';

function readAll(lines: readonly string[]): { entries: Entry[]; passages: Passage[]; wrong: string[] } {
  const reader = new ExchangeReader();
  const entries: Entry[] = [];
  const passages: Passage[] = [];
  const wrong: string[] = [];
  for (const line of lines) {
    const read = reader.read(line);
    if (!read.ok) wrong.push(read.why);
    else if (read.value.kind === 'take') entries.push(read.value.entry);
    else if (read.value.kind === 'passage') passages.push(read.value.passage);
  }
  return { entries, passages, wrong };
}

describe('what a reader reads', () => {
  it.each([
    [
      'a meter with groups and a change of tempo',
      'CDEFG | [Q:1/4=60] [M:2+2+3/8] CDE FGAB |',
      'M:2+3/8\nL:1/8\nK:Eb',
    ],
    [
      'an instrument that is not known, a pickup and grace notes',
      'G2 | {ab}c4 HT[ce]4 |',
      'L:1/8\nV:1 name="Kazoo"\nK:C transpose=-2',
    ],
  ])('is kept whole in the record: %s', async (_, music, header) => {
    const { passage } = await abc(music, header);
    const read = readAll([...new ExchangeWriter().passage(passage!)]);
    expect(read.wrong).toEqual([]);
    expect(read.passages).toStrictEqual([JSON.parse(JSON.stringify(passage))]);
  });
});

describe('what a session keeps', () => {
  it.each([
    [
      'slipway',
      { bars: '1-2', drill: 'landings,switchback,chain', tempo: '60', passes: '2' },
      'model:pupil,seed=3',
    ],
    [
      'slipway',
      { bars: '2', drill: 'tenuto,widening,through', snag: '10', ladder: '60-66' },
      'model:beginner,seed=5',
    ],
    ['crosstide', { hand: 'left', bars: '1', pulse: 'offbeat', passes: '1' }, 'model:nervous,seed=1'],
  ])('goes through a file and a database and comes back as it was: %s %o', async (name, options, model) => {
    const plan = await planFor(name, options);
    const { record } = await simulate(plan, [model], 30);
    const entries = record.entries();
    expect(entries.length).toBeGreaterThan(2);

    const writer = new ExchangeWriter();
    const lines = [...writer.passage(plan.span.passage), ...entries.flatMap((entry) => writer.take(entry))];
    const read = readAll(lines);
    expect(read.wrong).toEqual([]);
    expect(read.entries).toStrictEqual(entries);
    expect(read.passages).toStrictEqual([JSON.parse(JSON.stringify(plan.span.passage))]);
    // A step stands once however often it was tried.
    const steps = new Set(entries.map(({ step, stepName }) => `${step} ${stepName}`));
    expect(lines.filter((line) => line.startsWith('{"step"'))).toHaveLength(steps.size);

    const database = need(await openDatabaseRecord(':memory:'));
    expect(database.keepPassage(plan.span.passage)).toBe(entries[0]!.fingerprint);
    expect(database.add(entries)).toBe(entries.length);
    expect(database.add(entries)).toBe(0);
    expect(await allEntries(database)).toStrictEqual(entries);
    expect(await (await database.reader()).passage(entries[0]!.fingerprint!)).toStrictEqual(read.passages[0]);
    database.close();
  });

  it('says of players together whose takes belong together', async () => {
    const alone = await planFor('slipway', { bars: '1', passes: '1', tempo: '60' });
    const plan = { ...planForPlayers(alone, ['Ilse', 'Bo']), section: { name: 'reeds', runOn: false } };
    const { record } = await simulate(plan, ['model:exact', 'model:exact,offset=20'], 5);
    const writer = new ExchangeWriter();
    const { entries, wrong } = readAll(record.entries().flatMap((entry) => writer.take(entry)));
    expect(wrong).toEqual([]);
    expect(entries).toStrictEqual(record.entries());
    const [ilse, bo] = entries;
    expect([ilse, bo].map((entry) => [entry!.player, entry!.together])).toEqual(
      ['Ilse', 'Bo'].map((name) => [name, { section: 'reeds', take: 1, attendance: 'counted', needed: 2 }]),
    );
    const apart = ilse!.verdict!.arrivals!.map(({ micros }, i) => bo!.verdict!.arrivals![i]!.micros - micros);
    expect(apart).toEqual(apart.map(() => 20_000));
    // Judged again nothing of that is lost.
    const judged = rejudged({ ...ilse!, sentence: 'Otherwise.' }, ilse!.playing!, () => 'As it was.');
    expect(judged!.verdict).toStrictEqual(ilse!.verdict);
  });

  it('is the step as it was asked, and which music was chosen', async () => {
    const plan = await planFor('slipway', { bars: '2', passes: '1', tempo: '72', instrument: 'clarinet' });
    const { record } = await simulate(plan, ['model:exact'], 5);
    const [entry] = record.entries();
    expect(entry).toMatchObject({
      format: 2,
      selection: { instrument: 'clarinet' },
      settings: { tempo: { bpm: 72 } },
      playing: { terms: { run: { tempo: { bpm: 72 } } } },
      gate: { cleanInARow: 1, passes: 1 },
      clean: true,
      counted: true,
      onward: true,
    });
    const numbers = entry!.playing!.terms.line.onsets.map(({ number }) => number);
    expect([entry!.stepFirst, entry!.stepLast]).toEqual([Math.min(...numbers), Math.max(...numbers)]);
    expect(entry!.date).toMatch(/^2026-03-02T\d\d:\d\d:\d\d\.\d{3}[+-]\d\d:\d\d$/);
  });
});

describe('a file that is not whole', () => {
  const writer = new ExchangeWriter();
  const lines = [1, 2].flatMap((order) => writer.take(madeEntry(order)));

  it('is read line by line: what is wrong is told, the rest is taken', () => {
    const [first, step, one, two] = lines as [string, string, string, string];
    const { entries, wrong } = readAll([first, step, one.slice(0, 80), '', two]);
    expect(entries).toEqual([madeEntry(2)]);
    expect(wrong).toEqual(['it is no JSON, or it is cut off']);
  });

  it('gives nothing without its first line, or with that of another format', () => {
    expect(readAll(lines.slice(1)).entries).toEqual([]);
    expect(readAll(['{"fettle":"practice record","format":99}', ...lines.slice(1)]).wrong[0]).toBe(
      'it is of format 99, known is 2',
    );
  });

  it('gives no take whose step does not stand before it, and none that is not what it should be', () => {
    const [first, step, one] = lines as [string, string, string];
    expect(readAll([first, one]).wrong[0]).toMatch(/^the step [0-9a-f]{32} does not stand before it$/);
    const changed = (change: object) =>
      readAll([first, step, JSON.stringify({ take: { ...JSON.parse(one).take, ...change } })]).wrong[0];
    expect(changed({ clean: 'yes' })).toMatch(/^clean: /);
    expect(changed({ tempoBpm: -1 })).toMatch(/tempo/);
    const { playing } = JSON.parse(one).take;
    const events = [{ type: 'note-on', at: 1, pitch: 400, velocity: 1, channel: 1 }];
    expect(changed({ playing: { ...playing, events } })).toMatch(/^playing\.events\.0\.pitch: /);
    expect(changed({ gossip: 1 })).toMatch(/^gossip: /);
  });
});
