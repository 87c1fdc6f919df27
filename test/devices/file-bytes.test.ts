import { execFileSync, spawn } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readFileBytes, whyNotOpened, whyNotWritten } from '../../src/devices/file-bytes.ts';
import { ownFolder } from '../own-folder.ts';

const folder = ownFolder();

function whyNot(path: string, most = 100, patienceMs?: number): string {
  try {
    readFileBytes(path, most, patienceMs === undefined ? {} : { patienceMs });
  } catch (error) {
    return whyNotOpened(error);
  }
  return 'it was read';
}

describe('the bytes of a file', () => {
  it('come whole up to the limit, and one more is refused without being read', () => {
    const path = join(folder, 'a');
    writeFileSync(path, 'x'.repeat(100));
    expect(readFileBytes(path, 100)).toHaveLength(100);
    expect(whyNot(path, 99)).toBe('it has 1 MB, at most 1 MB are read');
  });

  it('never come from what has no end, nor from a folder', () => {
    expect(whyNot('/dev/zero')).toBe('it is a device, not a file');
    expect(whyNot('/dev/null')).toBe('it is a device, not a file');
    expect(whyNot(folder)).toBe('it is a folder');
    expect(whyNot(join(folder, 'none'))).toBe('there is no such file');
  });

  it('come from a pipe whose writer comes late, and not more than the limit', async () => {
    const pipe = join(folder, 'pipe');
    execFileSync('mkfifo', [pipe]);
    const late = spawn('sh', ['-c', `sleep 0.3; printf abc > ${pipe}`]);
    expect(Buffer.from(readFileBytes(pipe, 100)).toString()).toBe('abc');
    await new Promise((resolve) => late.once('exit', resolve));
    const endless = spawn('sh', ['-c', `yes > ${pipe}`]);
    expect(whyNot(pipe, 1000)).toBe('more than 1 MB come from it');
    endless.kill();
  });

  it('are not waited for from a pipe that nobody writes to', () => {
    const pipe = join(folder, 'silent');
    execFileSync('mkfifo', [pipe]);
    expect(whyNot(pipe, 100, 200)).toBe('it is a pipe, and nobody writes to it');
  });
});

describe('why a file could not be written', () => {
  it.each([
    ['it is a folder', folder],
    ['the name is too long', join(folder, 'x'.repeat(300))],
    ['what stands before its name is no folder', '/dev/null/take.mid'],
    ['the disk is full', '/dev/full'],
  ])('is told in words: %s', (words, path) => {
    let why = 'it was written';
    try {
      writeFileSync(path, 'x');
    } catch (error) {
      why = whyNotWritten(error);
    }
    expect(why).toBe(words);
  });

  it('is told where the disk may only be read', () => {
    // POSIX (errno.h): EROFS, a file system that may only be read.
    expect(whyNotWritten(Object.assign(new Error('EROFS: read-only file system'), { code: 'EROFS' }))).toBe(
      'the disk may only be read',
    );
  });
});
