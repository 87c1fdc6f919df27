import { execFileSync, spawnSync } from 'node:child_process';
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { need } from '../../src/commands/usage-problem.ts';
import { openDatabaseRecord } from '../../src/devices/database-record.ts';
import { RESCUE_FILE, RescuingRecord } from '../../src/devices/rescuing-record.ts';
import type { PracticeRecord } from '../../src/ports/practice-record.ts';
import { EXIT, ProblemError } from '../../src/problem.ts';
import type { Entry } from '../../src/record/entry.ts';
import { ExchangeReader } from '../../src/record/exchange-reader.ts';
import { MemoryRecord } from '../../src/simulation/memory-record.ts';
import { ownFolder } from '../own-folder.ts';
import { madeEntry } from '../record/made-entry.ts';

const folder = ownFolder();

function own(name: string): string {
  const path = join(folder, name);
  mkdirSync(path);
  return path;
}

/** A record that refuses as long as it is told to. */
class Failing extends MemoryRecord implements PracticeRecord {
  fails = true;

  override append(entry: Parameters<MemoryRecord['append']>[0]): void {
    if (this.fails) throw this.#problem();
    super.append(entry);
  }

  override remember(name: string, value: unknown): void {
    if (this.fails) throw this.#problem();
    super.remember(name, value);
  }

  #problem(): ProblemError {
    return new ProblemError({
      code: 'record.full',
      message: 'Cannot write the practice record',
      exitStatus: EXIT.record,
    });
  }
}

function rescuedIn(...folders: string[]): Entry[] {
  return folders.flatMap((path) =>
    readdirSync(path)
      .filter((name) => RESCUE_FILE.test(name))
      .sort()
      .flatMap((name) => {
        const reader = new ExchangeReader();
        return readFileSync(join(path, name), 'utf8')
          .split('\n')
          .flatMap((line) => {
            const read = reader.read(line);
            if (!read.ok) throw new Error(read.why);
            return read.value.kind === 'take' ? [read.value.entry] : [];
          });
      }),
  );
}

describe('a record that cannot take up takes any more', () => {
  it('has each take in a file of its own, never written over, and the player is told once', () => {
    const rescue = own('files');
    const told: string[] = [];
    const record = new RescuingRecord(new Failing(), [rescue]);
    record.onTrouble((sentence) => told.push(sentence));
    // Alike to the name: two runs on the simulated clock begin at one time.
    const takes = [madeEntry(1), madeEntry(1, { sentence: 'Another.' }), madeEntry(2)];
    for (const take of takes) record.append(take);
    expect(rescuedIn(rescue)).toEqual(expect.arrayContaining(takes));
    expect(record.rescued).toHaveLength(3);
    expect(told).toEqual([
      `Cannot write the practice record. Takes are saved in ${rescue} instead; fettle record import takes them up.`,
    ]);
    record.remember('input', 'Tidewrack keys');
    record.close();
  });

  it('is used again as soon as it takes them', async () => {
    const rescue = own('again');
    const inner = new Failing();
    const record = new RescuingRecord(inner, [rescue]);
    record.append(madeEntry(1));
    inner.fails = false;
    record.append(madeEntry(2));
    expect((await record.headings()).map(({ order }) => order)).toEqual([2]);
    expect(rescuedIn(rescue)).toEqual([madeEntry(1)]);
  });

  it('has them in the next folder where the first cannot be written', () => {
    const rescue = own('next');
    const record = new RescuingRecord(new Failing(), [join(folder, 'not there'), rescue]);
    record.append(madeEntry(1));
    expect(rescuedIn(rescue)).toEqual([madeEntry(1)]);
  });

  it('keeps a take that can be written nowhere, tries again, and says at the end what is lost', () => {
    const inner = new Failing();
    const record = new RescuingRecord(inner, [join(folder, 'not there')]);
    const told: string[] = [];
    record.onTrouble((sentence) => told.push(sentence));
    record.append(madeEntry(1));
    expect(told[0]).toContain('could not be saved elsewhere either');
    expect(() => record.close()).toThrow(/Cannot keep the last take/);
    const healed = new Failing();
    const second = new RescuingRecord(healed, [join(folder, 'not there')]);
    second.append(madeEntry(1));
    healed.fails = false;
    second.append(madeEntry(2));
    expect(healed.entries().map(({ order }) => order)).toEqual([1, 2]);
  });

  it('is another thing than a mistake of ours', () => {
    const broken = new MemoryRecord();
    broken.close();
    expect(() => new RescuingRecord(broken, [folder]).append(madeEntry(1))).toThrow('it is closed');
  });
});

const mounted = own('small disk');
const canMount = spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=200k', 'tmpfs', mounted]).status === 0;
afterAll(() => {
  if (canMount) execFileSync('umount', ['-l', mounted]);
});

// Needs the right to make a disk (a superuser on Linux).
describe.skipIf(!canMount)('a real disk that fills up', () => {
  it('costs no take, and what was kept before is whole', async () => {
    const rescue = own('spared');
    const opened = need(await openDatabaseRecord(join(mounted, 'practice.db')));
    const record = new RescuingRecord(opened, [mounted, rescue]);
    const told: string[] = [];
    record.onTrouble((sentence) => told.push(sentence));
    const wanted = Array.from({ length: 400 }, (_, i) => i + 1);
    for (const order of wanted) record.append(madeEntry(order));
    record.close();
    const again = await openDatabaseRecord(join(mounted, 'practice.db'));
    // With the disk full to the last byte not even the log can be begun; room for it is made first.
    const inFiles = rescuedIn(mounted, rescue).map(({ order }) => order);
    execFileSync('mount', ['-o', 'remount,size=4m', mounted]);
    if (again.ok) again.value.close();
    const reopened = need(await openDatabaseRecord(join(mounted, 'practice.db')));
    const kept = (await reopened.headings()).map(({ order }) => order);
    reopened.close();
    expect(told[0]).toMatch(/the disk is full/);
    expect(inFiles.length).toBeGreaterThan(0);
    expect([...kept, ...inFiles].sort((a, b) => a - b)).toEqual(wanted);
  });

  it('is told before the first take where it is full from the start', async () => {
    const full = own('full disk');
    execFileSync('mount', ['-t', 'tmpfs', '-o', 'size=16k', 'tmpfs', full]);
    try {
      writeFileSync(join(full, 'stones'), Buffer.alloc(12_000));
      expect(await openDatabaseRecord(join(full, 'practice.db'))).toMatchObject({
        ok: false,
        problem: { code: 'record.full', exitStatus: EXIT.record },
      });
    } finally {
      execFileSync('umount', ['-l', full]);
    }
  });

  it('is told as read-only where it is mounted so', async () => {
    const disk = own('disk');
    const view = own('view of it');
    const opened = await openDatabaseRecord(join(disk, 'practice.db'));
    if (opened.ok) opened.value.close();
    execFileSync('mount', ['--bind', disk, view]);
    try {
      execFileSync('mount', ['-o', 'remount,ro,bind', view]);
      expect(await openDatabaseRecord(join(view, 'practice.db'))).toMatchObject({
        ok: false,
        problem: { code: 'record.read-only' },
      });
    } finally {
      execFileSync('umount', ['-l', view]);
    }
  });
});
