// The clef of a voice (ABC 2.1, 4.6): kept where it is another one than the notes call for.

import { describe, expect, it } from 'vitest';
import { choosePart } from '../../../src/notation/choice/part.ts';
import { writeMusicXml } from '../../../src/notation/musicxml/writer.ts';
import { passageFingerprint } from '../../../src/record/fingerprint.ts';
import { value } from '../../drills/made.ts';
import { abc } from '../readings.ts';

/** Over middle C, where notes alone call for a treble clef. */
const HIGH = 'cdef gagf';

async function signs(head: string, music = HIGH): Promise<string[]> {
  const { passage } = await abc(music, head);
  return [...writeMusicXml(passage!).matchAll(/<sign>(.)<\/sign>/g)].map(([, sign]) => sign!);
}

describe('a clef', () => {
  it('is the one that the key or the voice names, and that of the notes without', async () => {
    expect(await signs('M:4/4\nK:C')).toEqual(['G']);
    expect(await signs('M:4/4\nK:C clef=bass')).toEqual(['F']);
    expect(await signs('M:4/4\nK:C bass')).toEqual(['F']);
    expect(await signs('M:4/4\nV:1 clef=bass\nK:C')).toEqual(['F']);
    expect(await signs('M:4/4\nK:C treble', 'C,,D,,E,,F,, G,,A,,G,,F,,')).toEqual(['G']);
  });

  it('makes no other music of it, and stays with its part', async () => {
    const head = (clef: string) => `M:4/4\nV:1\nV:2 ${clef}\nK:C`;
    const music = `[V:1] ${HIGH}\n[V:2] ${HIGH}`;
    const plain = (await abc(music, head(''))).passage!;
    const low = (await abc(music, head('clef=bass'))).passage!;
    expect(low.clefs).toEqual([{ part: 1, staff: 1, clef: 'bass' }]);
    expect(passageFingerprint(low)).toBe(passageFingerprint(plain));
    expect(value(choosePart(low, { part: 2 })).clefs).toEqual([{ part: 0, staff: 1, clef: 'bass' }]);
    expect(value(choosePart(low, { part: 1 })).clefs ?? []).toEqual([]);
  });
});
