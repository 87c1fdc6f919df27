// The player's own notes as sound, where the click sounds, for an instrument without sound of its own. The session is
// told the same as without.

import type { PlayerEvent } from '../music/player-event.ts';
import type { ClickPort } from '../ports/click.ts';
import type { PlayerSource } from '../ports/player-source.ts';
import { EXIT, fail, ok, type Result } from '../problem.ts';

/** Sounds what a player does, at once. */
export interface OwnSound {
  soundOwn(event: PlayerEvent): void;
}

/** The source with its notes sounded by the click's outlet. Problem 'option.monitor' where there is nothing to hear. */
export function monitored(source: PlayerSource, click: ClickPort & Partial<OwnSound>): Result<PlayerSource> {
  if (click.soundOwn === undefined) {
    return fail({
      code: 'option.monitor',
      message: 'Cannot sound your own notes: the click is only seen here, and they sound where it does',
      hint: 'Choose an outlet: --click-to sound, or --click-to midi:PORT.',
      exitStatus: EXIT.usage,
    });
  }
  return ok(sounded(source, { soundOwn: (event) => click.soundOwn?.(event) }));
}

/** All that is held is let go by the click when it closes. */
export function sounded(source: PlayerSource, sound: OwnSound): PlayerSource {
  return {
    name: source.name,
    get shiftSemitones() {
      return source.shiftSemitones ?? 0;
    },
    start: (report) =>
      source.start((event) => {
        // Sound first: judging can wait a moment, an ear cannot.
        sound.soundOwn(event);
        report(event);
      }),
    prompt: (prompt) => source.prompt(prompt),
    hush: (atMicros) => source.hush(atMicros),
    press: (key) => source.press?.(key) ?? false,
    onNews: (tell) => source.onNews?.(tell),
    close: () => source.close(),
  };
}
