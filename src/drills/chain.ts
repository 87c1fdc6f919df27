// Chain: the first beat, the first two, the first three, up to the whole span; or the same from the end. Forward by
// default: in a keyboard task forward chaining beat backward on most measures (Ash & Holding 1990, Hum Factors
// 32:175).

import { ok } from '../problem.ts';
import { beatStep } from './beat-run.ts';
import type { Drill } from './drill.ts';
import { firstBoundary, landingPlaces } from './landing-place.ts';
import { beatsName } from './place-name.ts';
import { layRunGround } from './run-ground.ts';
import { type RunLength, USUAL_EVERY } from './run-length.ts';
import { checkNotes } from './workable-span.ts';

export const chain: Drill = {
  name: 'chain',
  explanation:
    'The first beat up to its landing, then the first two, then the first three, until the whole span stands. For learning a line that is not yet known from one end to the other: what is new is always joined to what is already sure.',
  variants: {
    'from-end': 'the last beat, the last two, and so on, always to the end',
  },
  makeSteps(span, settings) {
    const laid = layRunGround(span, settings);
    if (!laid.ok) return laid;
    const { ground, every, holdBeats } = laid.value;
    // A chain grows by itself.
    const length: RunLength = every === 'growing' ? USUAL_EVERY : every;
    const places = landingPlaces(ground, length);
    const fromEnd = settings.variants?.includes('from-end') ?? false;
    const links = fromEnd
      ? places
          .slice(0, -1)
          .reverse()
          .map((first) => ({ first, last: span.last }))
      : places.slice(1).map((last) => ({ first: span.first, last }));
    const counted = checkNotes(
      span,
      'chain',
      links.map(({ first, last }) => last - first + 1),
    );
    if (!counted.ok) return counted;
    return ok(
      links.map(({ first, last }) => {
        const tickOf = (number: number) => ground.onsets[number - span.first]!.tick;
        const startTick = first === span.first ? firstBoundary(ground, length) : tickOf(first);
        const name = beatsName(ground.grid, startTick, tickOf(last));
        return beatStep(ground, {
          name,
          first,
          last,
          startTick,
          landing: true,
          joinsNext: false,
          holdBeats,
        });
      }),
    );
  },
};
