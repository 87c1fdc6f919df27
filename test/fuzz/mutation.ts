// Damaged inputs for the readers: cut off, bits flipped, bytes repeated, numbers blown up, pieces swapped. Everything
// at random from a seed, so that a failure can be made again.

import { lots } from '../notation/generated-passage.ts';

export function mutated(bytes: Uint8Array, seed: number): Uint8Array {
  const lot = lots(seed);
  const upTo = (n: number) => Math.floor(lot() * Math.max(1, n));
  let out: Uint8Array<ArrayBuffer> = Uint8Array.from(bytes);
  const times = 1 + upTo(4);
  for (let i = 0; i < times; i += 1) {
    const at = upTo(out.length);
    const to = Math.min(out.length, at + 1 + upTo(40));
    const kind = upTo(12);
    if (kind === 0) out = out.slice(0, at);
    else if (kind === 1) out[at] = (out[at] ?? 0) ^ (1 << upTo(8));
    else if (kind === 2) out = joined(out.slice(0, at), out.slice(to));
    else if (kind === 3) out = joined(out.slice(0, to), out.slice(at));
    else if (kind === 4) out = joined(out.slice(0, at), Uint8Array.of(upTo(256), upTo(256)), out.slice(at));
    else if (kind === 5) out = joined(out.slice(0, at), new TextEncoder().encode('99999999'), out.slice(at));
    else if (kind === 6) out = joined(out.slice(0, at), out.slice(to), out.slice(at, to));
    else if (kind < 11) out = digitChanged(out, at, upTo(10));
    else out[at] = [0, 0xff, 0x3c, 0x7c, 0x5b, 0x3a][upTo(6)]!;
  }
  return out;
}

/** Text that stays well-formed but says something else: the next digit after `at` becomes another. */
function digitChanged(bytes: Uint8Array<ArrayBuffer>, at: number, digit: number): Uint8Array<ArrayBuffer> {
  const found = bytes.findIndex((byte, i) => i >= at && byte >= 0x30 && byte <= 0x39);
  if (found >= 0) bytes[found] = 0x30 + digit;
  return bytes;
}

function joined(...pieces: readonly Uint8Array[]): Uint8Array<ArrayBuffer> {
  const out = new Uint8Array(pieces.reduce((sum, piece) => sum + piece.length, 0));
  let at = 0;
  for (const piece of pieces) {
    out.set(piece, at);
    at += piece.length;
  }
  return out;
}
