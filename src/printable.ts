// Text from outside (a title, an argument, the name of a port) may hold characters that a terminal obeys: moving the
// cursor, setting the window's title, typing on the player's behalf. Everything that is printed or drawn goes through
// here.

/** The text with every control character but the end of a line made a space: C0, DEL and C1 (ECMA-48). */
export function printable(text: string): string {
  return text.replace(/[\x00-\x09\x0b-\x1f\x7f-\x9f]/g, ' ');
}
