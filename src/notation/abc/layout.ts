// Which ABC voice is which part and staff: from %%score or %%staves. A brace is one part with several staves (a
// keyboard), parentheses are voices on one staff, a voice alone is a part of its own.

import { MOST_PARTS } from '../draft/score.ts';

export interface VoicePlace {
  readonly id: string;
  readonly part: number;
  readonly staff: number;
}

/** @example layOutVoices('{(RH1 RH2) LH} Fl') // RH1 and RH2 on staff 1 of part 0, LH on staff 2, Fl is part 1 */
export function layOutVoices(score: string): VoicePlace[] {
  const places: VoicePlace[] = [];
  let part = -1;
  let staff = 0;
  let inBrace = false;
  let inParentheses = false;
  const nextStaff = () => {
    if (inBrace && staff > 0) staff += 1;
    else {
      part += 1;
      staff = 1;
    }
  };
  for (const [token] of score.matchAll(/[{}()]|[^\s{}()[\]|*+]+/g)) {
    // One too many is enough for the refusal.
    if (places.length > MOST_PARTS) break;
    if (token === '{') {
      inBrace = true;
      staff = 0;
    } else if (token === '}') {
      inBrace = false;
    } else if (token === '(') {
      inParentheses = true;
      nextStaff();
    } else if (token === ')') inParentheses = false;
    else {
      if (!inParentheses) nextStaff();
      if (!places.some((p) => p.id === token)) places.push({ id: token, part, staff });
    }
  }
  return places;
}
