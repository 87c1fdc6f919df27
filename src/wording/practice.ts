// How a drill is practised, in the words of a teacher: for sheets and before a drill's first step.

/** Common practice, no source. */
const PRACTICE: Readonly<Record<string, string>> = {
  landings:
    'Short runs with the click, each to the fermata and no further. Hold it while the click goes on, strike the same note again and play the next run. Three times clean, then on.',
  switchback:
    'Without the click, all notes equal: one note further each time, out and back. The numbers say which note of the line it is. Listen for evenness, not for speed.',
  widening:
    'With the click, in its own place in the bar: first the snag alone, then one note more on each side. Count the rests. Three times clean, then the next window.',
  tenuto:
    'Without the click. Lean on the marked note: half as long again, then a quarter, then a tenth, then not at all. What follows simply comes later; do not make up for it.',
  rhythms:
    'With the click, the long notes long and the short ones short: think of the next group while the long note sounds.',
  chain: 'With the click, to the fermata: the first beat, then one beat more each time.',
  through: 'With the click, with what comes before and after, and without stopping.',
};

/** One to three sentences. */
export function practiceWords(drill: string): string {
  return PRACTICE[drill] ?? 'With the click, slowly at first.';
}
