// Where the bundled music is: beside the folder of this file, in the sources as in the built program.

export const PASSAGES_FOLDER = new URL('../passages/', import.meta.url);
