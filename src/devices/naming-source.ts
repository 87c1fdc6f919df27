// A source whose player names the transposition by playing one note that both know.

import type { PlayerEvent } from '../music/player-event.ts';
import type { PlayerSource } from '../ports/player-source.ts';

/** A source whose first note is `pitch`, whatever came in: it sets the shift of all that follow and is no note of a take. */
export function namingSource(source: PlayerSource, pitch: number): PlayerSource {
  let shift: number | undefined;
  let naming: number | undefined;
  const heard = (event: PlayerEvent, report: (event: PlayerEvent) => void): void => {
    if (event.type !== 'note-on' && event.type !== 'note-off') {
      report(event);
      return;
    }
    if (shift === undefined) {
      if (event.type === 'note-off') return;
      shift = pitch - event.pitch;
      naming = event.pitch;
      return;
    }
    if (event.type === 'note-off' && event.pitch === naming) {
      naming = undefined;
      return;
    }
    // A pitch that the shift takes out of 0 to 127 is no note any more.
    const moved = event.pitch + shift;
    if (moved >= 0 && moved <= 127) report({ ...event, pitch: moved });
  };
  return {
    name: source.name,
    get shiftSemitones() {
      return (source.shiftSemitones ?? 0) + (shift ?? 0);
    },
    start: (report) => source.start((event) => heard(event, report)),
    onNews: (tell) => source.onNews?.(tell),
    ...(source.press ? { press: (key) => source.press?.(key) ?? false } : {}),
    prompt: (prompt) => source.prompt(prompt),
    hush: (atMicros) => source.hush(atMicros),
    close: () => source.close(),
  };
}
