import { describe, expect, it } from 'vitest';
import { align } from '../../src/matching/align.ts';
import type { Alignment } from '../../src/matching/alignment.ts';
import type { Expectation } from '../../src/matching/expectation.ts';
import { alignmentSoFar, passTime } from '../../src/matching/follow.ts';
import type { PlayedNote } from '../../src/music/played-note.ts';
import { followAll } from './drawn.ts';
import { KNOWN_TAKES } from './known-takes.ts';
import { take } from './takes.ts';
import { writtenLine } from './written.ts';

const LETTERS = { extra: 'x', blip: 'b', restart: 's' };

/** What each played note was taken for, in the letters of known-takes.ts. */
function told({ notes, extras }: Alignment, written: Expectation, played: readonly PlayedNote[]): string {
  const said = played.map(() => 'nothing');
  for (const { onset, note, verdict, played: by } of notes) {
    if (by === undefined) continue;
    said[by] = verdict === 'right' ? `r${onset}` : `w${onset}=${written.onsets[onset]!.notes[note]!.pitch}`;
  }
  for (const { played: by, kind, before } of extras) {
    said[by] = kind === 'ornament' ? 'o' : `${LETTERS[kind]}${before}`;
  }
  return said.join(' ');
}

describe('each note of a simulated player is told for what it was', () => {
  for (const [i, known] of KNOWN_TAKES.entries()) {
    it(`${i + 1}: ${known.title}`, async () => {
      const rows = known.take.split(', ').map((note) => note.split(' '));
      const played = take(rows.map(([ms, pitch, lasts]) => [Number(ms), Number(pitch), Number(lasts)]));
      const meant = rows.map((row) => row[3]).join(' ');
      const written = await writtenLine(known.line);
      expect(told(align(written, played), written, played)).toBe(meant);
      if (known.followed === false) return;
      const follower = passTime(followAll(written, played), played.at(-1)!.onMicros + 6_000_000);
      expect(told(alignmentSoFar(follower), written, played)).toBe(meant);
      if (known.slip === undefined) return;
      const { slip } = follower;
      expect(slip ? `${slip.kind}@${slip.onset}` : 'none').toBe(known.slip);
    });
  }
});
