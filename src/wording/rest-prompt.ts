// Rest prompts. Stop when it hurts (Klickstein 2009 p. 75; Horvath). No diagnosis is made here.

import type { RestMinutes } from '../session/rest.ts';

const PROMPTS: Readonly<Record<RestMinutes, string>> = {
  25: '25 minutes of playing: rest for five. Stop if it hurts.',
  50: '50 minutes of playing: rest for ten. Stop if it hurts; if pain, tingling or weakness lasts, see a doctor or physiotherapist.',
};

export function restPrompt(minutes: RestMinutes): string {
  return PROMPTS[minutes];
}
