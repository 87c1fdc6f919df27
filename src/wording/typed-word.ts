// A word of a command line as it has to be typed.

/** What a shell takes for something else, or for the end of the word. */
const NEEDS_QUOTES = /[\s"'`$&;|<>()*?!\\#]/;
/** One tune of several in a file, an assignment of a lesson: within a word no shell minds it. */
const NUMBERED = /(?<=[^\s#])#(?=[^#]*$)/;

/** @example typedWord('Harbour Steps.abc') // '"Harbour Steps.abc"' */
export function typedWord(word: string): string {
  if (word !== '' && !NEEDS_QUOTES.test(word.replace(NUMBERED, ''))) return word;
  return `"${word.replaceAll(/["$`\\]/g, '\\$&')}"`;
}
