// Compressed MusicXML (.mxl): a zip archive whose META-INF/container.xml names the score (MusicXML 4.0, "Compressed
// .MXL files"). Older files lack the `mimetype` entry, so it is not asked for.

import { strToU8, zipSync } from 'fflate';
import type { Passage } from '../../music/passage.ts';
import { type FileReading, IssueList, LARGEST_FILE_BYTES, unreadable } from '../reading.ts';
import { decodeText } from '../text.ts';
import { type MusicXmlOptions, readMusicXml } from './reader.ts';
import { writeMusicXml } from './writer.ts';
import { readXml, XmlTrouble } from './xml-tree.ts';
import { readZipDirectory, refusePath, unpack, type ZipEntry, ZipTrouble } from './zip-directory.ts';

const CONTAINER = 'META-INF/container.xml';
const SCORE_TYPE = 'application/vnd.recordare.musicxml+xml';

export function readMxl(bytes: Uint8Array, name: string, options: MusicXmlOptions = {}): FileReading {
  if (bytes.length > LARGEST_FILE_BYTES) {
    return unreadable('file.too-large', `Cannot read ${name}: it has more than ${LARGEST_FILE_BYTES} bytes`);
  }
  const issues = new IssueList();
  try {
    const entries = readZipDirectory(bytes);
    const score = findScore(bytes, entries, name, issues);
    const text = decodeText(unpack(bytes, score), score.name, issues);
    if (text === undefined) return { issues: issues.list(), noteCount: 0 };
    const reading = readMusicXml(text, name, options);
    return { ...reading, issues: [...issues.list(), ...reading.issues] };
  } catch (error) {
    if (error instanceof ZipTrouble) {
      return unreadable('mxl.archive', `Cannot read ${name}: ${error.message}`, error.place);
    }
    if (error instanceof XmlTrouble) {
      return unreadable(
        'mxl.container',
        `Cannot read ${CONTAINER} in ${name}: ${error.message}`,
        error.place,
      );
    }
    throw error;
  }
}

function findScore(
  bytes: Uint8Array,
  entries: readonly ZipEntry[],
  name: string,
  issues: IssueList,
): ZipEntry {
  const container = entries.find((entry) => entry.name === CONTAINER);
  if (!container) {
    const scores = entries.filter(
      (e) => /\.(musicxml|xml)$/i.test(e.name) && !e.name.startsWith('META-INF/'),
    );
    if (scores.length !== 1)
      throw new ZipTrouble(`it is an archive without ${CONTAINER}, so no score is named`, 0);
    issues.warn('mxl.container', `${name} has no ${CONTAINER}: its only score, ${scores[0]!.name}, is read`);
    return scores[0]!;
  }
  const path = scorePath(decodeText(unpack(bytes, container), CONTAINER, issues) ?? '');
  refusePath(path, container.headerAt);
  const score = entries.find((entry) => entry.name === path);
  if (!score)
    throw new ZipTrouble(`its container names "${path}", which is not in the archive`, container.headerAt);
  return score;
}

/** The first rootfile is the score; one without a media type is MusicXML. */
function scorePath(container: string): string {
  let path: string | undefined;
  readXml(container, {
    whole: new Set(['rootfile']),
    open: () => undefined,
    close: ({ name, attributes }) => {
      const type = attributes['media-type'] ?? SCORE_TYPE;
      if (name === 'rootfile' && type === SCORE_TYPE) path ??= attributes['full-path'];
    },
  });
  if (path === undefined) throw new XmlTrouble('it names no MusicXML file', { line: 1 });
  return path;
}

/** A fixed date, so that the same passage gives the same bytes: the first year that zip knows. */
const ZIP_DATE_MS = 315_964_800_000;

export function writeMxl(passage: Passage): Uint8Array {
  const container = `<?xml version="1.0" encoding="UTF-8"?>\n<container><rootfiles><rootfile full-path="score.musicxml" media-type="${SCORE_TYPE}"/></rootfiles></container>\n`;
  return zipSync(
    {
      mimetype: [strToU8('application/vnd.recordare.musicxml'), { level: 0 }],
      'META-INF/container.xml': strToU8(container),
      'score.musicxml': strToU8(writeMusicXml(passage)),
    },
    { mtime: ZIP_DATE_MS },
  );
}
