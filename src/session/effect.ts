// What a session wants done in the world: plain data, so that a test compares it. Every time is microseconds on the
// session's clock; clicks are asked for ahead of time.

import type { Click, SignalKind, SoundedNote } from '../ports/click.ts';
import type { Prompt } from '../ports/player-source.ts';
import type { Entry } from '../record/entry.ts';
import type { KeptPlaying } from '../take/fold.ts';
import type { PlayerId } from './event.ts';
import type { News } from './news.ts';
import type { TakeReport } from './take-report.ts';

/** A take to be kept; the edge adds the calendar date, the sitting, the source's name, the music's fingerprint and the words. */
type KeptTake = Omit<Entry, 'date' | 'sitting' | 'source' | 'fingerprint' | 'playing' | 'sentence'>;

export type Effect =
  | { readonly type: 'clicks'; readonly clicks: readonly Click[] }
  /** Drop all that was asked for at or after a time. */
  | { readonly type: 'silence'; readonly from: number }
  | { readonly type: 'signal'; readonly kind: SignalKind; readonly at: number }
  | { readonly type: 'sound'; readonly notes: readonly SoundedNote[] }
  | { readonly type: 'prompt'; readonly player: PlayerId; readonly prompt: Prompt }
  | { readonly type: 'hush'; readonly at: number }
  /** A take is over: what came of it, and all that its result is made of. */
  | {
      readonly type: 'keep';
      readonly take: KeptTake;
      readonly playing: KeptPlaying;
      /** Where it was judged, and not broken off. */
      readonly report?: TakeReport;
    }
  | { readonly type: 'news'; readonly at: number; readonly news: News }
  | { readonly type: 'end'; readonly at: number };
