// ABC against abcjs 6.7.2 (MIT, development only): the bundled passages as we write them. Not tunes made at random: where
// a tie leads out of a tuplet it gives lengths that are wrong or negative. And not a score whose parts are transposed
// unlike: it forgets a voice's transpose= where that voice has a key of its own, so each part is compared alone.

import abcjs from 'abcjs';
import { expect, it } from 'vitest';
import { need } from '../../../src/commands/usage-problem.ts';
import { TICKS_PER_WHOLE } from '../../../src/music/ticks.ts';
import { writeAbc } from '../../../src/notation/abc/writer.ts';
import { choosePart } from '../../../src/notation/choice/part.ts';
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
    const score = await bundledPassage(file);
    for (const [i, { name }] of score.parts.entries()) {
      const part = need(choosePart(score, { part: i + 1 }));
      const onsets = part.onsets.map((o) => ({
        ...o,
        notes: o.notes.filter((n) => n.ornament !== 'grace'),
      }));
      const plain = { ...part, onsets };
      const heard = disagreement(plain, play(writeAbc(plain)));
      expect([file, name, heard]).toEqual([file, name, { missing: [], added: [] }]);
    }
  }
});
