import { describe, expect, it } from 'vitest';
import { noteNames, writtenName } from '../../src/wording/note-names.ts';
import { abc } from '../notation/readings.ts';

describe('a name for what was played', () => {
  it('is spelled in the key that holds where it was played, after a change of key too', async () => {
    const { passage } = await abc('[K:Eb] C4 D4 | [K:E] E4 F4 |', 'M:4/4\nL:1/8\nK:Eb');
    const onsets = passage!.onsets.map(({ notes }, i) => ({ notes, number: i + 1 }));
    const { expected, ofPitch } = noteNames(passage!, onsets);
    expect(expected.flat()).toEqual(['C4', 'D4', 'E4', 'F#4']);
    // 63 is E flat in E flat major and D sharp in E major; what is added behind the last note is of its key.
    expect([0, 1, 2, 3, 4].map((onset) => ofPitch(63, onset))).toEqual(['Eb4', 'Eb4', 'D#4', 'D#4', 'D#4']);
  });

  it('of a step that is only a part of the passage goes by where that comes from', async () => {
    const { passage } = await abc('C4 D4 | [K:E] E4 F4 |', 'M:4/4\nL:1/8\nK:Eb');
    const { ofPitch } = noteNames(passage!, [{ notes: passage!.onsets[2]!.notes, number: 3 }]);
    expect(ofPitch(63, 0)).toBe('D#4');
  });

  it('is as the player of its part reads it', async () => {
    const { passage } = await abc(
      '[V:1] C4 z4 | z8 |\n[V:2] E4 z4 | z8 |',
      '%%score 1 2\nM:4/4\nL:1/8\nV:1\n%%fettle-instrument flute\nV:2\n%%fettle-instrument alto-sax\nK:Eb',
    );
    expect(writtenName(passage!, 63)).toBe('Eb4');
    // Sounding E flat major is read as C major: E flat 4 is the alto's C5, F sharp 4 its D sharp 5 (a sixth up).
    expect(writtenName(passage!, 63, { tick: 0, transposition: -9 })).toBe('C5');
    expect(writtenName(passage!, 66, { tick: 0, transposition: -9 })).toBe('D#5');
  });
});
