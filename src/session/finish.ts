// The end of a session.

import { endMicros } from '../take/take-times.ts';
import { costliestInterval } from './costly-interval.ts';
import { type Advance, type Session, takeOf } from './session.ts';

export function finish(session: Session, at: number): Advance {
  const take = takeOf(session);
  const costliest = costliestInterval(session.costs);
  const count = (state: string) => session.tallies.filter((tally) => tally.state === state).length;
  // The click of a hold goes on to its end.
  const held = take && take.run.pulse === 'click' ? endMicros(take) : undefined;
  return {
    session: { ...session, stage: { kind: 'finished' } },
    effects: [
      { type: 'hush', at },
      { type: 'silence', from: held ?? at },
      {
        type: 'news',
        at,
        news: {
          kind: 'finished',
          stepsPassed: count('passed'),
          stepsSkipped: count('skipped'),
          steps: session.steps.length,
          takes: session.takes,
          cleanTakes: session.cleanTakes,
          ...(costliest === undefined ? {} : { costliest }),
          ...(session.plan.runThroughs === undefined ? {} : { survey: true }),
        },
      },
      { type: 'end', at },
    ],
  };
}
