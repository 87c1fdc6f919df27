// Bytes to text: UTF-8, UTF-16 with a byte order mark, and Latin-1 (ISO 8859-1) where a file declares it or where its
// bytes are no UTF-8, which is told.

import type { IssueList } from './reading.ts';

/** The text of a file, or undefined after an error. A byte order mark is taken off. */
export function decodeText(bytes: Uint8Array, name: string, issues: IssueList): string | undefined {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return decodeUtf16(bytes, 'utf-16le', name, issues);
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return decodeUtf16(bytes, 'utf-16be', name, issues);
  const zero = bytes.indexOf(0);
  if (zero >= 0) {
    const paired = zero < 4 && bytes.length > 3;
    const hint = paired ? ': it looks like UTF-16 without a byte order mark; save it as UTF-8' : '';
    issues.error('text.binary', `Cannot read ${name} as text: byte ${zero} is zero${hint}`, { byte: zero });
    return undefined;
  }
  if (declaresLatin1(bytes)) return decodeLatin1(bytes);
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    const byte = firstBadByte(bytes);
    const message = `Byte ${byte} of ${name} is not UTF-8: the file is read as Latin-1; letters with accents may be wrong`;
    issues.warn('text.latin-1', message, { byte });
    return decodeLatin1(bytes);
  }
}

function decodeUtf16(
  bytes: Uint8Array,
  encoding: 'utf-16le' | 'utf-16be',
  name: string,
  issues: IssueList,
): string | undefined {
  if (bytes.length % 2 !== 0) {
    const message = `Cannot read ${name}: it is UTF-16 but ends in the middle of a character; it may be cut off`;
    issues.error('text.truncated', message, { byte: bytes.length - 1 });
    return undefined;
  }
  // TextDecoder for utf-16be is missing in Node builds with small ICU: swapping the bytes always works.
  const little = encoding === 'utf-16le' ? bytes : swapPairs(bytes);
  return new TextDecoder('utf-16le').decode(little);
}

function swapPairs(bytes: Uint8Array): Uint8Array {
  const swapped = new Uint8Array(bytes.length);
  for (let i = 0; i + 1 < bytes.length; i += 2) {
    swapped[i] = bytes[i + 1]!;
    swapped[i + 1] = bytes[i]!;
  }
  return swapped;
}

/** XML says so in its first line, ABC in %%abc-charset or I:abc-charset. */
function declaresLatin1(bytes: Uint8Array): boolean {
  const head = decodeLatin1(bytes.subarray(0, 2000));
  const charset =
    /^<\?xml[^>]*encoding=["']([^"']+)/.exec(head) ?? /^(?:%%|I:)abc-charset\s+(\S+)/m.exec(head);
  return /^(iso-?8859-?1|latin-?1|windows-1252)$/i.test(charset?.[1] ?? '');
}

/** Byte for byte; the superset that browsers use (windows-1252) for 0x80 to 0x9f. */
function decodeLatin1(bytes: Uint8Array): string {
  return new TextDecoder('latin1').decode(bytes);
}

/** Where the longest valid UTF-8 beginning ends. */
function firstBadByte(bytes: Uint8Array): number {
  let low = 0;
  let high = bytes.length;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (validBeginning(bytes.subarray(0, middle))) low = middle;
    else high = middle - 1;
  }
  return low;
}

/** A character cut off at the end is still valid so far. */
function validBeginning(bytes: Uint8Array): boolean {
  try {
    new TextDecoder('utf-8', { fatal: true }).decode(bytes, { stream: true });
    return true;
  } catch {
    return false;
  }
}
