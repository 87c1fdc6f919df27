// --named-note: nobody needs to know how an instrument is set. The player plays one note that both know, and the
// transposition follows from what came in.

import { INSTRUMENTS } from '../music/instrument.ts';
import type { Passage } from '../music/passage.ts';
import { readSpelling, spellingToPitch } from '../music/pitch.ts';
import type { PlayerEvent } from '../music/player-event.ts';
import type { PlayerSource } from '../ports/player-source.ts';
import { usage } from './passage-argument.ts';

/** The sounding pitch of a note as the passage's (first) instrument reads it. */
export function namedPitch(text: string, passage: Passage): number {
  const spelling = readSpelling(text);
  if (!spelling) {
    throw usage(
      'option.named-note',
      `Cannot read the note "${text}": a letter, a sign and an octave are needed, such as C5 or F#4`,
    );
  }
  return spellingToPitch(spelling) + INSTRUMENTS[passage.parts[0]?.instrument ?? 'keyboard'].transposition;
}

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
    report({ ...event, pitch: event.pitch + shift });
  };
  return {
    name: source.name,
    start: (report) => source.start((event) => heard(event, report)),
    ...(source.press ? { press: (key) => source.press?.(key) ?? false } : {}),
    prompt: (prompt) => source.prompt(prompt),
    hush: (atMicros) => source.hush(atMicros),
    close: () => source.close(),
  };
}
