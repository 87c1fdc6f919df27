// Damaged, hostile and mislabelled files: never a crash, never a passage beside an error. `npm run fuzz` does the
// same with 10,000 inputs a reader.

import { strToU8, zipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { readAbc } from '../../src/notation/abc/reader.ts';
import { namesAnInstrument } from '../../src/notation/choice/instrument.ts';
import { readMidiFile } from '../../src/notation/midi-file/reader.ts';
import { readMxl, writeMxl } from '../../src/notation/musicxml/mxl.ts';
import { readMusicXml } from '../../src/notation/musicxml/reader.ts';
import { crc32 } from '../../src/notation/musicxml/zip-directory.ts';
import { readPassageBytes } from '../../src/notation/read.ts';
import { type FileReading, LARGEST_FILE_BYTES } from '../../src/notation/reading.ts';
import { fuzz, READERS } from '../fuzz/readers.ts';
import { sample } from '../sample.ts';
import { bundledPassage, bundledText } from './bundled.ts';

describe('more parts than any score has', () => {
  const codes = async (reading: Promise<FileReading> | FileReading) =>
    (await reading).issues.map((i) => i.code);

  it('are refused by every reader', async () => {
    const voices = Array.from({ length: 300 }, (_, i) => `V:${i}\nC4|\n`).join('');
    expect(await codes(readAbc(`X:1\nL:1/4\nK:C\n${voices}`, 'many.abc'))).toContain('parts.too-many');
    const score = Array.from({ length: 300 }, (_, i) => i).join(' ');
    const scored = readAbc(`X:1\n%%score ${score}\nL:1/4\nK:C\nC4|\n`, 'many.abc');
    expect(await codes(scored)).toContain('parts.too-many');
    const part = '<part id="P"><measure number="1"></measure></part>';
    const xml = `<score-partwise><part-list/>${part.repeat(300)}</score-partwise>`;
    expect(await codes(readMusicXml(xml, 'many.xml'))).toContain('musicxml.xml');
    const track = [0x4d, 0x54, 0x72, 0x6b, 0, 0, 0, 12, 0, 0x90, 60, 64, 96, 60, 0, 0, 0xff, 0x2f, 0];
    track[7] = track.length - 8;
    const head = [0x4d, 0x54, 0x68, 0x64, 0, 0, 0, 6, 0, 1, 1, 0x2c, 0, 96];
    const midi = Uint8Array.from([...head, ...Array.from({ length: 300 }, () => track).flat()]);
    expect(await codes(readMidiFile(midi, 'many.mid'))).toContain('parts.too-many');
  });

  it('nor is a hostile name of a part read for ever', () => {
    expect(namesAnInstrument(`${'i'.repeat(5000)}!`)).toBe(false);
    expect(namesAnInstrument(`${'a '.repeat(5000)}kazoo`)).toBe(true);
  });
});

describe('damaged inputs', () => {
  it.each(READERS.map((reader) => [reader.name, reader] as const))('%s', async (_, reader) => {
    // Nearly every damage to an archive is found by its checksum: of a hundred two or three still read.
    const inputs = reader.name === '.mxl' ? sample(1000, 400) : sample(300, 40);
    const count = await fuzz(reader, 500_000, inputs, () => 0);
    expect(count.errors).toBeGreaterThan(0);
    expect(count.passages).toBeGreaterThan(0);
  });
});

const container = (path: string) =>
  strToU8(`<container><rootfiles><rootfile full-path="${path}"/></rootfiles></container>`);

describe('archives', () => {
  it('checks CRC-32 as everybody does: "123456789" gives CBF43926', () => {
    // The check value of the CRC catalogue (CRC-32/ISO-HDLC), from memory.
    expect(crc32(strToU8('123456789'))).toBe(0xcbf43926);
  });

  it('opens one without a container when there is a single score, and says so', async () => {
    const reading = readMxl(zipSync({ 'a.xml': strToU8(bundledText('crosstide.musicxml')) }), 'a.mxl');
    expect(reading.passage).toBeDefined();
    expect(reading.issues.map((i) => i.code)).toEqual(['mxl.container']);
  });

  it.each([
    ['/etc/passwd.xml', /a path outside itself: "\/etc\/passwd.xml"/],
    ['../../score.xml', /a path outside itself/],
    ['C:\\score.xml', /a path outside itself/],
    ['missing.xml', /names "missing.xml", which is not in the archive/],
  ])('does not follow %s', (path, message) => {
    const zip = zipSync({ 'META-INF/container.xml': container(path), 'score.xml': strToU8('<x/>') });
    expect(readMxl(zip, 'a.mxl').issues[0]!.message).toMatch(message);
    const inside = zipSync({ 'META-INF/container.xml': container('s.xml'), [path]: strToU8('<x/>') });
    if (path !== 'missing.xml') expect(readMxl(inside, 'a.mxl').issues[0]!.message).toMatch(message);
  });

  it('refuses a bomb by its announced size, and one that lies about it', () => {
    const bomb = zipSync({
      'META-INF/container.xml': container('s.xml'),
      's.xml': new Uint8Array(20 * 1024 * 1024),
    });
    expect(bomb.length).toBeLessThan(100_000);
    expect(readMxl(bomb, 'bomb.mxl').issues[0]!.message).toMatch(
      /"s.xml" unpacks to 20 MB, at most 16 MB are read/,
    );
    const lying = announcing(bomb, 's.xml', 1000);
    expect(readMxl(lying, 'bomb.mxl').issues[0]!.message).toMatch(/"s.xml" is damaged/);
  });

  it('refuses every archive that is cut off, at whatever byte', async () => {
    const whole = writeMxl(await bundledPassage('slipway.abc'));
    for (let length = 4; length < whole.length; length += 7) {
      expect(readMxl(whole.slice(0, length), 'cut.mxl').passage).toBeUndefined();
    }
  });

  it('finds one flipped bit in the score by its checksum', async () => {
    const whole = writeMxl(await bundledPassage('slipway.abc'));
    const flipped = Uint8Array.from(whole);
    flipped[Math.floor(whole.length / 2)]! ^= 1;
    expect(readMxl(flipped, 'a.mxl').issues[0]!.code).toBe('mxl.archive');
  });
});

/** The archive with another unpacked size in its directory. */
function announcing(zip: Uint8Array, name: string, size: number): Uint8Array {
  const out = Uint8Array.from(zip);
  const view = new DataView(out.buffer);
  for (let at = 0; at + 46 < out.length; at += 1) {
    if (view.getUint32(at, true) !== 0x02014b50) continue;
    const found = new TextDecoder().decode(out.subarray(at + 46, at + 46 + view.getUint16(at + 28, true)));
    if (found === name) view.setUint32(at + 24, size, true);
  }
  return out;
}

describe('files of all kinds', () => {
  const abc = 'X:1\nT:Brücke\nM:4/4\nL:1/8\nQ:1/4=80\nK:C\nC8|\n';
  const codes = async (bytes: Uint8Array, name: string) =>
    (await readPassageBytes(bytes, name)).issues.map((i) => `${i.severity} ${i.code}`);

  it('content decides over the ending, which is told', async () => {
    expect(await codes(strToU8(abc), 'a.mid')).toEqual(['warning file.ending']);
    expect(await codes(strToU8(bundledText('crosstide.musicxml')), 'a.abc')).toEqual(['warning file.ending']);
    expect(await codes(writeMxl(await bundledPassage('slipway.abc')), 'a.xml')).toEqual([
      'warning file.ending',
    ]);
    expect(await codes(strToU8(abc), 'a.abc')).toEqual([]);
  });

  it('text may be UTF-8 or UTF-16 with a mark, or Latin-1, which is told with its byte', async () => {
    const title = async (bytes: Uint8Array) => (await readPassageBytes(bytes, 'a.abc')).passage?.title;
    const utf16 = (order: 'le' | 'be') => {
      const text = `\ufeff${abc}`;
      const bytes = new Uint8Array(text.length * 2);
      const view = new DataView(bytes.buffer);
      for (let i = 0; i < text.length; i += 1) view.setUint16(2 * i, text.charCodeAt(i), order === 'le');
      return bytes;
    };
    const latin1 = Uint8Array.from(abc, (c) => c.charCodeAt(0));
    expect(await title(strToU8(abc))).toBe('Brücke');
    expect(await title(strToU8(`\ufeff${abc}`))).toBe('Brücke');
    expect(await title(utf16('le'))).toBe('Brücke');
    expect(await title(utf16('be'))).toBe('Brücke');
    expect(await title(latin1)).toBe('Brücke');
    const { issues } = await readPassageBytes(latin1, 'a.abc');
    expect(issues).toMatchObject([{ code: 'text.latin-1', place: { byte: 8 } }]);
    expect(await codes(utf16('le').slice(0, -1), 'a.abc')).toEqual(['error text.truncated']);
    expect(await codes(utf16('le').slice(2), 'a.abc')).toEqual(['error text.binary']);
    const declared = strToU8(abc.replace('X:1', '%%abc-charset iso-8859-1\nX:1'), true);
    expect(await codes(declared, 'a.abc')).toEqual([]);
  });

  it('an empty file, noise, and a file of 50 MB get one clear sentence', async () => {
    expect(await codes(new Uint8Array(), 'a.abc')).toEqual(['error file.empty']);
    expect(await codes(strToU8('just some words'), 'a.abc')).toEqual(['error file.unknown']);
    expect(
      await codes(
        Uint8Array.from({ length: 500 }, (_, i) => (i * 7919) % 256),
        'a',
      ),
    ).toEqual(['error text.binary']);
    const large = await readPassageBytes(new Uint8Array(50 * 1024 * 1024), 'large.xml');
    expect(large.issues[0]!.message).toBe('Cannot read large.xml: it has 50 MB, at most 16 MB are read');
    expect(LARGEST_FILE_BYTES).toBe(16 * 1024 * 1024);
  });

  it('MusicXML cut off at any line is refused, never shortened', async () => {
    const lines = bundledText('crosstide.musicxml').trimEnd().split('\n');
    for (let kept = 1; kept < lines.length; kept += 5) {
      const reading = await readPassageBytes(strToU8(lines.slice(0, kept).join('\n')), 'cut.musicxml');
      expect(reading.passage).toBeUndefined();
      expect(reading.issues.at(-1)).toMatchObject({ severity: 'error', place: { line: expect.any(Number) } });
    }
  });
});
