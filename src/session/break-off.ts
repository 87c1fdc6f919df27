// A take that ends without a verdict of its own. What was played is kept.

import type { TakeEnd } from '../record/entry.ts';
import { countedPlayers, neededClean } from './attendance.ts';
import type { Effect } from './effect.ts';
import { keepTake, togetherOf } from './keep-take.ts';
import { type Advance, type Session, takeOf } from './session.ts';

export function breakOff(session: Session, end: TakeEnd, at: number): Advance {
  const take = takeOf(session);
  if (!take) return { session, effects: [] };
  const effects: Effect[] = [
    { type: 'hush', at },
    { type: 'silence', from: at },
  ];
  let order = session.kept;
  const needed = neededClean(session, countedPlayers(session).length);
  take.lines.forEach((line, player) => {
    if (line.soFar.length === 0 && end !== 'skipped') return;
    order += 1;
    const outcome = {
      order,
      end,
      clean: false,
      counted: false,
      onward: false,
      ...togetherOf(session, player, needed),
    };
    effects.push(keepTake(session, take, player, at, { ...outcome, gate: session.gate }));
  });
  return {
    session: {
      ...session,
      stage: { kind: 'ready' },
      kept: order,
      keptTogether: session.keptTogether + (order > session.kept ? 1 : 0),
      playedMicros: session.playedMicros + Math.max(0, at - take.beginMicros),
    },
    effects,
  };
}
