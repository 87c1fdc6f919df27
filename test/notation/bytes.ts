// Bytes for tests, written as in the standard: '4D 54 68 64 ...'.

export function fromHex(text: string): Uint8Array {
  return Uint8Array.from(
    text
      .trim()
      .split(/[\s|]+/)
      .map((pair) => Number.parseInt(pair, 16)),
  );
}

/** A file of format 0 with one track of the given event bytes; the division is 96 unless given. */
export function trackFile(events: string, division = '00 60'): Uint8Array {
  const body = fromHex(events);
  const head = fromHex(`4D 54 68 64 00 00 00 06 00 00 00 01 ${division} 4D 54 72 6B 00 00`);
  return Uint8Array.from([...head, body.length >> 8, body.length & 255, ...body]);
}
