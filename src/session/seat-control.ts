// What a teacher asks of one player among several: to be left out of the count, not to be listened to, to be worked
// with alone, to be heard as the part should be.

import { attendanceOf, withPlayer, withStopRules } from './attendance.ts';
import type { SeatAsk } from './event.ts';
import { hearLine } from './hear.ts';
import type { Advance, Session } from './session.ts';

export function runSeatControl(session: Session, player: number, ask: SeatAsk, at: number): Advance {
  const pointed = { ...session, pointed: player };
  switch (ask) {
    case 'point':
      return { session: pointed, effects: [] };
    case 'hear':
      return hearLine(pointed, player, at);
    case 'mute':
    case 'excuse': {
      const standing = ask === 'mute' ? 'muted' : 'excused';
      const was = session.players[player]!.standing;
      return told(withPlayer(pointed, player, { standing: was === standing ? 'in' : standing }), player, at);
    }
    case 'focus': {
      const { focus, ...rest } = pointed;
      return told(focus === player ? rest : { ...rest, focus: player }, player, at);
    }
  }
}

function told(session: Session, player: number, at: number): Advance {
  const { name } = session.plan.players[player]!;
  const focused = session.focus === player;
  return {
    session: withStopRules(session),
    effects: [
      {
        type: 'news',
        at,
        news: { kind: 'seat', player: name, attendance: attendanceOf(session, player), focused },
      },
    ],
  };
}
