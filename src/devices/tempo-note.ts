// The note in a tempo's text ("half note = 66"), drawn: typefaces for texts have a quarter and an eighth at most. Units are
// those of the engraver's picture, 180 from line to line of a staff; a note is three quarters as big as on a staff.

/** Characters of the music typeface (SMuFL, "Metronome marks"). */
const WHOLE = '\u{ECA2}';
const HALF = '\u{ECA3}';
const FLAGS: Readonly<Record<string, number>> = {
  '\u{ECA5}': 0,
  '\u{ECA7}': 1,
  '\u{ECA9}': 2,
  '\u{ECAB}': 3,
};
const DOT = '\u{ECB7}';

const HEAD_ACROSS = 82;
const HEAD_UP = 56;
const STEM_LENGTH = 430;
const FLAG_DISTANCE = 110;
const LINE = 24;
const DOT_RADIUS = 27;
/** What is left free behind it. */
const AFTER = 70;

interface DrawnNote {
  readonly svg: string;
  /** How far the text after it is moved. */
  readonly width: number;
}

/** `signs`: the note and its dots as the engraver has them, spaces among them. `x`, `y`: where its text begins. */
export function drawTempoNote(signs: string, x: number, y: number): DrawnNote {
  const [note = ''] = signs.trim();
  const dots = [...signs].filter((sign) => sign === DOT).length;
  const isOpen = note === WHOLE || note === HALF;
  const across = note === WHOLE ? HEAD_ACROSS + 20 : HEAD_ACROSS;
  const middle = { x: x + across, y: y - HEAD_UP };
  const head = `<ellipse cx="${middle.x}" cy="${middle.y}" rx="${across - LINE / 2}" ry="${HEAD_UP - LINE / 2}" transform="rotate(${note === WHOLE ? 0 : -20} ${middle.x} ${middle.y})" fill="${isOpen ? 'none' : 'black'}" stroke-width="${isOpen ? LINE * 1.4 : LINE}" />`;
  const stemX = middle.x + across - LINE;
  const top = middle.y - STEM_LENGTH;
  const stem =
    note === WHOLE
      ? ''
      : `<path d="M${stemX} ${middle.y - 10} L${stemX} ${top}" stroke-width="${LINE}" fill="none" />`;
  const flags = Array.from({ length: FLAGS[note] ?? 0 }, (_, i) => {
    const from = top + i * FLAG_DISTANCE;
    return `<path d="M${stemX} ${from} C${stemX + 20} ${from + 120} ${stemX + 150} ${from + 130} ${stemX + 105} ${from + 290}" stroke-width="${LINE}" fill="none" />`;
  }).join('');
  const headEnd = middle.x + across + ((FLAGS[note] ?? 0) > 0 ? HEAD_ACROSS : 0);
  const dotX = (i: number) => headEnd + 60 + i * 90;
  const dotted = Array.from(
    { length: dots },
    (_, i) => `<circle cx="${dotX(i)}" cy="${middle.y - 20}" r="${DOT_RADIUS}" fill="black" stroke="none" />`,
  ).join('');
  const end = dots > 0 ? dotX(dots - 1) + DOT_RADIUS : headEnd;
  return { svg: `<g stroke="black">${head}${stem}${flags}${dotted}</g>`, width: end + AFTER - x };
}
