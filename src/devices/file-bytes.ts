// Files, as they come from the player: why one could not be opened is told in words.

/** In words, why a file could not be opened for reading. */
export function whyNotOpened(error: unknown, missing = 'there is no such file'): string {
  const { code = '' } = error as NodeJS.ErrnoException;
  const why: Readonly<Record<string, string>> = {
    ENOENT: missing,
    EISDIR: 'it is a folder',
    EACCES: 'this account may not read it',
  };
  return why[code] ?? code;
}
