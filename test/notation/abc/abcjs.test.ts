// ABC against abcjs 6.7.2 (MIT, development only): the bundled passages as we write them. Not tunes made at random: where
// a tie leads out of a tuplet it gives lengths that are wrong or negative.

import abcjs from 'abcjs';
import { expect, it } from 'vitest';
import { TICKS_PER_WHOLE } from '../../../src/music/ticks.ts';
import { writeAbc } from '../../../src/notation/abc/writer.ts';
import { BUNDLED_FILES, bundledPassage } from '../bundled.ts';
import { disagreement, type HeardFile } from '../midi-notes.ts';

interface AudioEvent {
  readonly cmd: string;
  readonly pitch: number;
  /** In whole notes. */
  readonly start: number;
  readonly duration: number;
}

function play(text: string): HeardFile {
  const tune = abcjs.parseOnly(text)[0] as unknown as {
    setUpAudio(options: object): { tracks: readonly (readonly AudioEvent[])[] };
  };
  const notes = tune
    .setUpAudio({ chordsOff: true })
    .tracks.flat()
    .filter((event) => event.cmd === 'note')
    .map(({ pitch, start, duration }) => ({
      tick: start * TICKS_PER_WHOLE,
      pitch,
      durationTicks: duration * TICKS_PER_WHOLE,
    }));
  // Its times are rounded to a millionth of a whole note.
  return { notes, grain: 1 };
}

it('abcjs plays the bundled passages as we wrote them', async () => {
  for (const file of BUNDLED_FILES) {
    const passage = await bundledPassage(file);
    const onsets = passage.onsets.map((o) => ({
      ...o,
      notes: o.notes.filter((n) => n.ornament !== 'grace'),
    }));
    const plain = { ...passage, onsets };
    expect([file, disagreement(plain, play(writeAbc(plain)))]).toEqual([file, { missing: [], added: [] }]);
  }
});
