// A sentence for the player, seen until the next verdict.

import type { Advance, Session } from './session.ts';

export function advise(session: Session, text: string, at: number): Advance {
  return {
    session: { ...session, notice: text },
    effects: [{ type: 'news', at, news: { kind: 'advice', text } }],
  };
}
