// Short forms of readings, for the tests.

import type { Passage } from '../../src/music/passage.ts';
import { spellingName } from '../../src/music/pitch.ts';
import { readAbc } from '../../src/notation/abc/reader.ts';
import { readMusicXml } from '../../src/notation/musicxml/reader.ts';
import type { FileReading } from '../../src/notation/reading.ts';

/** Written names with lengths in eighths: "C4 1, D4+F4 2". Grace notes as "(B4)". */
export function melody(passage: Passage | undefined): string {
  if (!passage) return 'no passage';
  return passage.onsets
    .map(({ notes }) => {
      const names = notes.map((n) =>
        n.ornament === 'grace' ? `(${spellingName(n.spelling)})` : spellingName(n.spelling),
      );
      const longest = Math.max(...notes.map((n) => n.durationTicks));
      return `${names.join('+')} ${Math.round((longest / 5040) * 1000) / 1000}`;
    })
    .join(', ');
}

/** Lengths in ticks, onset by onset. */
export function lengths(passage: Passage | undefined): number[] {
  return passage?.onsets.map((o) => Math.max(...o.notes.map((n) => n.durationTicks))) ?? [];
}

/** Reads ABC music in C, 4/4, eighths; or with a header of one's own. */
export function abc(music: string, header = 'M:4/4\nL:1/8\nK:C'): Promise<FileReading> {
  return readAbc(`X:1\nT:Test\nQ:1/4=80\n${header}\n${music}\n`, 'test.abc');
}

export function warnings(reading: FileReading): string[] {
  return reading.issues.map(
    (issue) => `${issue.code}@${issue.place?.line ?? '-'}:${issue.place?.column ?? '-'}`,
  );
}

/** A partwise score of one part around measures. */
export function score(measures: string, partList = ''): string {
  const list = partList || '<score-part id="P1"><part-name>Music</part-name></score-part>';
  return `<score-partwise version="4.0"><part-list>${list}</part-list><part id="P1">${measures}</part></score-partwise>`;
}

export const START =
  '<attributes><divisions>2</divisions><key><fifths>0</fifths></key><time><beats>4</beats><beat-type>4</beat-type></time></attributes>' +
  '<direction><direction-type><metronome><beat-unit>quarter</beat-unit><per-minute>80</per-minute></metronome></direction-type></direction>';

/** A <note>: "C4", its duration in divisions, and anything to stand inside. */
export function note(name: string, duration: number, inside = '', before = ''): string {
  const m = /^([A-G])(b|#|)(\d)$/.exec(name)!;
  const alter = m[2] === '' ? '' : `<alter>${m[2] === '#' ? 1 : -1}</alter>`;
  return `<note>${before}<pitch><step>${m[1]}</step>${alter}<octave>${m[3]}</octave></pitch><duration>${duration}</duration>${inside}</note>`;
}

export function xml(measures: string, partList = ''): FileReading {
  return readMusicXml(score(measures, partList), 'test.musicxml');
}
