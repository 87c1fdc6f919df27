// Files, as they come from the player: read whole, but never more than asked for, and only what has an end (a regular
// file or a pipe); why one could not be opened is told in words.

import { closeSync, constants, fstatSync, openSync, readSync, statSync } from 'node:fs';

/** A file that cannot be read for a reason that the system has no code for. */
class FileTrouble extends Error {}

/** How long a pipe may stay silent, and how long it is left alone between two looks. */
const PATIENCE_MS = 3000;
const PAUSE_MS = 20;
const MEGABYTE = 1024 * 1024;
const CHUNK_BYTES = 64 * 1024;
const LINE_FEED = 10;

interface HowRead {
  /** How long a pipe may stay silent. */
  readonly patienceMs?: number;
  /** Memory for so many bytes. */
  readonly spaceFor?: (bytes: number) => Buffer;
}

/** All bytes of a file or a pipe, at most `most`. Throws; `whyNotOpened` says why in words. */
export function readFileBytes(path: string, most: number, how: HowRead = {}): Uint8Array {
  // Opening a pipe that nobody writes to waits for ever unless it is told not to.
  const file = openSync(path, constants.O_RDONLY | constants.O_NONBLOCK);
  try {
    const stat = fstatSync(file);
    if (stat.isDirectory()) throw new FileTrouble('it is a folder');
    if (!stat.isFile() && !stat.isFIFO()) throw new FileTrouble('it is a device, not a file');
    if (stat.isFile() && stat.size > most) {
      throw new FileTrouble(`it has ${megabytes(stat.size)}, at most ${megabytes(most)} are read`);
    }
    return readToEnd(file, most, stat.isFIFO() ? undefined : stat.size, how);
  } finally {
    closeSync(file);
  }
}

/** The first line of a regular file; undefined where there is none, or it is longer than `most` bytes. */
export function firstLine(path: string, most: number): string | undefined {
  if (!statSync(path, { throwIfNoEntry: false })?.isFile()) return undefined;
  try {
    const file = openSync(path, constants.O_RDONLY);
    try {
      return lineFrom(file, most);
    } finally {
      closeSync(file);
    }
  } catch {
    // Whoever reads the file as a whole is told why it cannot be read.
    return undefined;
  }
}

function lineFrom(file: number, most: number): string | undefined {
  const chunks: Uint8Array[] = [];
  for (let size = 0; size <= most; size += CHUNK_BYTES) {
    const chunk = Buffer.allocUnsafe(CHUNK_BYTES);
    const read = chunk.subarray(0, readSync(file, chunk));
    const end = read.indexOf(LINE_FEED);
    chunks.push(end < 0 ? read : read.subarray(0, end));
    if (end >= 0 || read.length === 0) return Buffer.concat(chunks).toString('utf8');
  }
  return undefined;
}

/** `expected`: bytes that a regular file had when it was opened; undefined for a pipe. */
function readToEnd(
  file: number,
  most: number,
  expected: number | undefined,
  { patienceMs = PATIENCE_MS, spaceFor = Buffer.allocUnsafe }: HowRead,
): Uint8Array {
  const isPipe = expected === undefined;
  const chunks: Uint8Array[] = [];
  let size = 0;
  let silentMs = 0;
  for (;;) {
    const chunk = size === 0 && expected ? spaceFor(expected) : Buffer.allocUnsafe(CHUNK_BYTES);
    const count = readSome(file, chunk);
    if (count !== undefined && count > 0) {
      chunks.push(chunk.subarray(0, count));
      size += count;
      silentMs = 0;
      if (size > most) throw new FileTrouble(`more than ${megabytes(most)} come from it`);
      continue;
    }
    // A pipe that its writer has not opened yet seems to be at its end.
    const ended = count === 0 && (!isPipe || size > 0);
    if (ended) return chunks.length === 1 ? chunks[0]! : Buffer.concat(chunks);
    if (silentMs >= patienceMs) throw new FileTrouble('it is a pipe, and nobody writes to it');
    Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, PAUSE_MS);
    silentMs += PAUSE_MS;
  }
}

/** Undefined where nothing has come yet. */
function readSome(file: number, into: Uint8Array): number | undefined {
  try {
    return readSync(file, into);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EAGAIN') return undefined;
    throw error;
  }
}

function megabytes(bytes: number): string {
  return `${Math.ceil(bytes / MEGABYTE)} MB`;
}

/** In words, why a file could not be opened for reading. */
export function whyNotOpened(error: unknown, missing = 'there is no such file'): string {
  if (error instanceof FileTrouble) return error.message;
  const { code = '' } = error as NodeJS.ErrnoException;
  const why: Readonly<Record<string, string>> = {
    ENOENT: missing,
    EISDIR: 'it is a folder',
    EACCES: 'this account may not read it',
    ENXIO: 'it is a device, not a file',
  };
  return why[code] ?? code;
}

/** In words, why a file could not be written. */
export function whyNotWritten(error: unknown): string {
  const { code = '', message } = error as NodeJS.ErrnoException;
  const why: Readonly<Record<string, string>> = {
    EACCES: 'this account may not write there',
    EPERM: 'this account may not write there',
    EISDIR: 'it is a folder',
    ENOTDIR: 'what stands before its name is no folder',
    ENOSPC: 'the disk is full',
    EDQUOT: 'this account has no room left on the disk',
    EROFS: 'the disk may only be read',
    EFBIG: 'it would be larger than a file may be there',
    ENAMETOOLONG: 'the name is too long',
    EIO: 'the disk reports a fault',
  };
  return why[code] ?? (code || message);
}
