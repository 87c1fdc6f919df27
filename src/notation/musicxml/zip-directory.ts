// The directory of a zip archive (PKWARE APPNOTE 6.3, sections 4.3.12 and 4.3.16), read with distrust: nothing is
// unpacked that is not asked for, nothing grows over a limit, and every checksum is checked, which zip libraries for
// the browser leave out.

import { inflateSync } from 'fflate';
import { type FilePlace, LARGEST_FILE_BYTES } from '../reading.ts';

export interface ZipEntry {
  readonly name: string;
  readonly method: number;
  readonly crc: number;
  readonly packedBytes: number;
  readonly bytes: number;
  readonly headerAt: number;
}

/** What is wrong with an archive. */
export class ZipTrouble extends Error {
  readonly place: FilePlace;
  constructor(message: string, byte: number) {
    super(message);
    this.name = 'ZipTrouble';
    this.place = { byte };
  }
}

const MOST_ENTRIES = 500;

/** Entries in the order of the directory. Throws ZipTrouble. */
export function readZipDirectory(bytes: Uint8Array): ZipEntry[] {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const end = findEnd(view);
  if (end === undefined)
    throw new ZipTrouble('the archive has no directory; it may be cut off', bytes.length);
  const count = view.getUint16(end + 10, true);
  if (count > MOST_ENTRIES)
    throw new ZipTrouble(`the archive has ${count} files, at most ${MOST_ENTRIES} fit`, end);
  let at = view.getUint32(end + 16, true);
  const entries: ZipEntry[] = [];
  for (let i = 0; i < count; i += 1) {
    if (at + 46 > bytes.length || view.getUint32(at, true) !== 0x02014b50) {
      throw new ZipTrouble('the directory of the archive is broken', Math.min(at, bytes.length));
    }
    const nameBytes = view.getUint16(at + 28, true);
    const name = new TextDecoder().decode(bytes.subarray(at + 46, at + 46 + nameBytes));
    if (view.getUint16(at + 8, true) & 1) throw new ZipTrouble(`"${name}" in the archive is encrypted`, at);
    refusePath(name, at);
    entries.push({
      name,
      method: view.getUint16(at + 10, true),
      crc: view.getUint32(at + 16, true),
      packedBytes: view.getUint32(at + 20, true),
      bytes: view.getUint32(at + 24, true),
      headerAt: view.getUint32(at + 42, true),
    });
    at += 46 + nameBytes + view.getUint16(at + 30, true) + view.getUint16(at + 32, true);
  }
  return entries;
}

/** Absolute paths and paths upwards have no place in a score. */
export function refusePath(name: string, at: number): void {
  if (/^[/\\]|^[A-Za-z]:|\0/.test(name) || name.split(/[/\\]/).includes('..')) {
    throw new ZipTrouble(`the archive names a path outside itself: "${name}"`, at);
  }
}

/** The end record lies in the last 65,557 bytes: it may carry a comment. */
function findEnd(view: DataView): number | undefined {
  const lowest = Math.max(0, view.byteLength - 65_557);
  for (let at = view.byteLength - 22; at >= lowest; at -= 1) {
    if (view.getUint32(at, true) === 0x06054b50) return at;
  }
  return undefined;
}

/** One file, unpacked and checked. Throws ZipTrouble. */
export function unpack(bytes: Uint8Array, entry: ZipEntry): Uint8Array {
  const { name, headerAt: at } = entry;
  if (entry.bytes > LARGEST_FILE_BYTES) {
    const size = `${Math.round(entry.bytes / 1024 / 1024)} MB, at most ${LARGEST_FILE_BYTES / 1024 / 1024} MB are read`;
    throw new ZipTrouble(`"${name}" unpacks to ${size}`, at);
  }
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (at + 30 > bytes.length || view.getUint32(at, true) !== 0x04034b50) {
    throw new ZipTrouble(`"${name}" is not where the directory says`, Math.min(at, bytes.length));
  }
  const from = at + 30 + view.getUint16(at + 26, true) + view.getUint16(at + 28, true);
  const packed = bytes.subarray(from, from + entry.packedBytes);
  if (packed.length !== entry.packedBytes) throw new ZipTrouble(`"${name}" is cut off`, bytes.length);
  const plain = inflate(packed, entry);
  if (plain.length !== entry.bytes || crc32(plain) !== entry.crc) {
    throw new ZipTrouble(`"${name}" is damaged: its checksum does not fit`, from);
  }
  return plain;
}

function inflate(packed: Uint8Array, entry: ZipEntry): Uint8Array {
  if (entry.method === 0) return packed;
  if (entry.method !== 8) {
    throw new ZipTrouble(
      `"${entry.name}" is packed in a way that is not read here (method ${entry.method})`,
      entry.headerAt,
    );
  }
  try {
    // The output has the announced size and cannot grow: a lying bomb ends here.
    return inflateSync(packed, { out: new Uint8Array(entry.bytes) });
  } catch {
    throw new ZipTrouble(`"${entry.name}" is damaged: it cannot be unpacked`, entry.headerAt);
  }
}

const CRC_TABLE = Uint32Array.from({ length: 256 }, (_, n) => {
  let c = n;
  for (let k = 0; k < 8; k += 1) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
  return c >>> 0;
});

/** CRC-32 of ISO 3309, as zip uses it. @example crc32(bytes of '123456789') // 0xcbf43926 */
export function crc32(bytes: Uint8Array): number {
  let crc = 0xffffffff;
  for (const byte of bytes) crc = CRC_TABLE[(crc ^ byte) & 0xff]! ^ (crc >>> 8);
  return (crc ^ 0xffffffff) >>> 0;
}
