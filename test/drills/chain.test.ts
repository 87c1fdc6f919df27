import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { chain } from '../../src/drills/chain.ts';
import { landings } from '../../src/drills/landings.ts';
import { wholeSpan } from '../../src/music/span.ts';
import { arbitrarySpan } from './arbitrary-passage.ts';
import { line } from './line.ts';
import { made } from './made.ts';

const tune = wholeSpan(line('C4 D4 E4 F4 G4 A4 B4 C5 D5 C5 B4'));

describe('chain', () => {
  it('plays the first beat, the first two, the first three, each up to its landing', () => {
    expect(ends(made(chain, tune))).toEqual([
      [1, 3],
      [1, 5],
      [1, 7],
      [1, 9],
      [1, 11],
    ]);
    expect(made(chain, tune)[1]).toMatchObject({
      landing: true,
      joinsNext: false,
      leadInBeats: 4,
      holdBeats: 2,
    });
  });

  it('from the end plays the last beat, the last two, always to the end', () => {
    expect(ends(made(chain, tune, { variants: ['from-end'] }))).toEqual([
      [9, 11],
      [7, 11],
      [5, 11],
      [3, 11],
      [1, 11],
    ]);
  });

  it('goes by bars', () => {
    expect(ends(made(chain, tune, { every: 'bar' }))).toEqual([
      [1, 9],
      [1, 11],
    ]);
  });

  it('links at the landings, each step one link longer than the last', () => {
    fc.assert(
      fc.property(arbitrarySpan(), fc.constantFrom<1 | 2 | 'bar'>(1, 2, 'bar'), (span, every) => {
        // Landings go on to the downbeat after the span.
        const places = made(landings, span, { every })
          .map((step) => step.onsets.at(-1)!.number)
          .filter((last) => last <= span.last);
        // A chain stays within the span: it ends at its last onset.
        const links = [...new Set([...places, span.last])];
        expect(ends(made(chain, span, { every }))).toEqual(links.map((last) => [span.first, last]));
      }),
    );
  });
});

function ends(steps: ReturnType<typeof made>) {
  return steps.map((step) => [step.onsets[0]!.number, step.onsets.at(-1)!.number]);
}
