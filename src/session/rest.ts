// Rest prompts. Expert advice, not trial evidence: five minutes after 25 in solo practice, ten in each hour; stop when
// it hurts (Klickstein 2009 p. 75; Horvath). No diagnosis is made here.

export interface RestPrompt {
  readonly minutes: number;
  readonly text: string;
}

export const REST_PROMPTS: readonly RestPrompt[] = [
  { minutes: 25, text: '25 minutes of playing: rest for five. Stop if it hurts.' },
  {
    minutes: 50,
    text: '50 minutes of playing: rest for ten. Stop if it hurts; if pain, tingling or weakness lasts, see a doctor or physiotherapist.',
  },
];

/** A pause this long counts as a rest. */
export const REST_MICROS = 5 * 60_000_000;

/** The prompt that falls due between two amounts of playing, in microseconds. */
export function restPromptBetween(beforeMicros: number, afterMicros: number): RestPrompt | undefined {
  return REST_PROMPTS.findLast(
    ({ minutes }) => beforeMicros < minutes * 60_000_000 && afterMicros >= minutes * 60_000_000,
  );
}
