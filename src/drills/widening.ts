// Widening: from the snag outwards, in its rhythmic place, while the click goes on.

import { ok } from '../problem.ts';
import { beatStep, layGround, REST_BEATS } from './beat-run.ts';
import type { Drill } from './drill.ts';
import { type GrowingSides, widerByBeat, widerByOnset, windowsOutward } from './snag-window.ts';
import { checkNotes, checkSnags, checkSpan } from './workable-span.ts';

export const widening: Drill = {
  name: 'widening',
  explanation:
    'From the two notes of the snag outwards, one more note on each side every time, entering at their own place in the bar after a counted lead-in. For one interval that trips: it is met in time at once, and the line grows around it.',
  variants: {
    'by-beat': 'grows by a beat on each side instead of a note',
    'leading-in': 'grows only before the snag: more and more of what leads into it',
    'going-on': 'grows only after the snag: more and more of what follows it',
  },
  makeSteps(span, settings) {
    const checked = checkSpan(span);
    if (!checked.ok) return checked;
    const snags = checkSnags(span, settings, 'widening');
    if (!snags.ok) return snags;
    const ground = layGround(span.passage, span, settings.tempo);
    const { variants = [] } = settings;
    const sides = growingSides(variants);
    const wider = variants.includes('by-beat') ? widerByBeat(ground, sides) : widerByOnset(ground, sides);
    const windows = windowsOutward(snags.value, wider);
    const counted = checkNotes(
      span,
      'widening',
      windows.map(({ window }) => window.last - window.first + 1),
    );
    if (!counted.ok) return counted;
    return ok(
      windows.map(({ window, stage }) =>
        beatStep(ground, {
          name: windowName(window, stage, {
            whole: window.first === span.first && window.last === span.last,
          }),
          ...window,
          landing: false,
          joinsNext: false,
          holdBeats: REST_BEATS,
        }),
      ),
    );
  },
};

/** Both where neither is asked for, and where both are. */
function growingSides(variants: readonly string[]): GrowingSides {
  const leadingIn = variants.includes('leading-in');
  const goingOn = variants.includes('going-on');
  return { before: leadingIn || !goingOn, after: goingOn || !leadingIn };
}

function windowName(
  window: { first: number; last: number },
  stage: number,
  { whole }: { whole: boolean },
): string {
  if (whole) return `widening ${stage}: the whole span`;
  return `${stage === 0 ? 'the snag' : `widening ${stage}`}: notes ${window.first} to ${window.last}`;
}
