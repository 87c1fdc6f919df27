// What `fettle check FILE` prints: how many notes were read, and everything that was not understood or left out, with
// its place. Errors first; within each kind in the order of the file.

import type { FileReading, Issue } from '../../notation/reading.ts';

/** One line each, plain text. A reading without issues says so: silence would be no answer. */
export function checkListing(reading: FileReading): string[] {
  const { passage, issues, noteCount } = reading;
  const errors = issues.filter((issue) => issue.severity === 'error');
  const warnings = issues.filter((issue) => issue.severity === 'warning');
  const lines = passage
    ? [
        `Read ${count(noteCount, 'note')} in ${count(passage.onsets.length, 'onset')} and ${count(passage.bars.length, 'bar')}, ${count(passage.parts.length, 'part')}: ${passage.parts.map((p) => p.name).join(', ')}.`,
      ]
    : ['Nothing was read: the file has errors, and half a passage is none.'];
  for (const issue of errors) lines.push(`x ${placed(issue)}`);
  for (const issue of warnings) lines.push(`! ${placed(issue)}`);
  if (issues.length === 0) lines.push('Everything in the file was understood.');
  else lines.push(`${count(errors.length, 'error')}, ${count(warnings.length, 'warning')}.`);
  return lines;
}

function placed({ message, place }: Issue): string {
  const where = [
    ...(place?.line === undefined ? [] : [`line ${place.line}`]),
    ...(place?.column === undefined ? [] : [`column ${place.column}`]),
    ...(place?.byte === undefined ? [] : [`byte ${place.byte}`]),
    ...(place?.bar === undefined ? [] : [`bar ${place.bar}`]),
  ].join(', ');
  const text = message.replace(/\s+/g, ' ').trim();
  return where === '' || text.includes(where) ? text : `${where}: ${text}`;
}

function count(number: number, word: string): string {
  return number === 1 ? `1 ${word}` : `${number} ${word}s`;
}
