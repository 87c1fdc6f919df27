// Groups that the player chose for unequal beats: "2+2+3", several with commas: "2+2+3,2+3".

import { groupStarts, type Meter, unitsOfBeats } from '../../music/meter.ts';
import type { Passage } from '../../music/passage.ts';
import { EXIT, fail, ok, type Result } from '../../problem.ts';

/** The passage with its bars felt in these groups: each sum is that of the bars with as many units. */
export function withGroups(passage: Passage, text: string): Result<Passage> {
  const wishes = text.split(',').map((sum) => sum.trim());
  let { bars } = passage;
  for (const wish of wishes) {
    if (!/^[1-9]\d?(\s*\+\s*[1-9]\d?)+$/.test(wish)) {
      return trouble(
        `Cannot read the groups "${text}": sums such as 2+2+3 are needed`,
        'Several meters: --groups 2+2+3,2+3.',
      );
    }
    const groups = wish.split('+').map(Number);
    const count = groups.reduce((sum, units) => sum + units, 0);
    if (!bars.some(({ meter }) => meter.count === count)) {
      const meters = [...new Set(bars.map(({ meter }) => `${meter.count}/${meter.unit}`))].join(', ');
      return trouble(
        `Cannot group bars by ${wish}: no bar has ${count} beats or eighths`,
        `The meter is ${meters}.`,
      );
    }
    bars = bars.map((bar) =>
      bar.meter.count === count ? { ...bar, meter: grouped(bar.meter, groups) } : bar,
    );
  }
  return ok({ ...passage, bars });
}

/** The same meter where its beats are these anyway: so it stays the same passage to the record. */
function grouped(meter: Meter, groups: readonly number[]): Meter {
  const wanted = { count: meter.count, unit: meter.unit, groups };
  const same =
    unitsOfBeats(meter).join() === unitsOfBeats(wanted).join() &&
    groupStarts(meter).join() === groupStarts(wanted).join();
  return same ? meter : wanted;
}

function trouble(message: string, hint: string): Result<never> {
  return fail({ code: 'option.groups', message, hint, exitStatus: EXIT.usage });
}
