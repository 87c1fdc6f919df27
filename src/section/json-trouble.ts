// Where a text stops being JSON, and why.

/** For the reader of a text that JSON.parse refused with this error: "line 3, column 7: Unexpected token ']'". */
export function jsonTrouble(text: string, { message }: Error): string {
  const before = text.slice(0, positionOf(text, message)).split('\n');
  const why = message
    .replace(/ in JSON at position.*$/s, '')
    .replace(/ after JSON at position.*$/s, ' after the end')
    .replace(/, (\.\.\.)?".*is not valid JSON$/s, '')
    .replace(/Unexpected end of JSON input/, 'it breaks off');
  return `line ${before.length}, column ${before.at(-1)!.length + 1}: ${why}`;
}

/** Of an unexpected token the message has no place: it is at the end of the shortest beginning that has it. */
function positionOf(text: string, message: string): number {
  const told = /at position (\d+)/.exec(message)?.[1];
  if (told !== undefined) return Number(told);
  if (!message.startsWith(UNEXPECTED)) return text.length;
  let [without, having] = [0, text.length];
  while (having - without > 1) {
    const middle = (without + having) >> 1;
    if (isUnexpected(text.slice(0, middle))) having = middle;
    else without = middle;
  }
  return without;
}

const UNEXPECTED = 'Unexpected token';

function isUnexpected(text: string): boolean {
  try {
    JSON.parse(text);
    return false;
  } catch (error) {
    return (error as Error).message.startsWith(UNEXPECTED);
  }
}
