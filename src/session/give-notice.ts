// A notice for the player: shown until the next verdict, and told once.

import type { Notice } from './notice.ts';
import type { Advance, Session } from './session.ts';

export function giveNotice(session: Session, notice: Notice, at: number): Advance {
  return {
    session: { ...session, notice },
    effects: [{ type: 'news', at, news: { kind: 'notice', notice } }],
  };
}
