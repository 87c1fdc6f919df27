// Any music file to a passage: by its content first, by its ending second. What a file is called never decides against
// what is in it; a wrong ending is told.

import { readAbc } from './abc/reader.ts';
import { type FileReading, type Issue, IssueList, LARGEST_FILE_BYTES, unreadable } from './reading.ts';
import { decodeText } from './text.ts';

export interface ReadOptions {
  /** ABC: X: number or title. */
  readonly tune?: number | string;
  /** MusicXML: number (from 1) or name of a part. */
  readonly part?: number | string;
  /** MusicXML: a voice of the part. */
  readonly voice?: number;
  /** MIDI file: track and channel, both from 1. */
  readonly track?: number;
  readonly channel?: number;
}

type Form = 'abc' | 'musicxml' | 'mxl' | 'midi';

const FORM_NAMES: Record<Form, string> = {
  abc: 'ABC',
  musicxml: 'MusicXML',
  mxl: 'compressed MusicXML',
  midi: 'a MIDI file',
};

const ENDINGS: Record<string, Form> = {
  abc: 'abc',
  musicxml: 'musicxml',
  xml: 'musicxml',
  mxl: 'mxl',
  mid: 'midi',
  midi: 'midi',
  smf: 'midi',
};

/** Reads the bytes of a file called `name`. */
export async function readPassageBytes(
  bytes: Uint8Array,
  name: string,
  options: ReadOptions = {},
): Promise<FileReading> {
  if (bytes.length === 0) return unreadable('file.empty', `Cannot read ${name}: it is empty`);
  if (bytes.length > LARGEST_FILE_BYTES) {
    const size = `${Math.round(bytes.length / 1024 / 1024)} MB, at most ${LARGEST_FILE_BYTES / 1024 / 1024} MB are read`;
    return unreadable('file.too-large', `Cannot read ${name}: it has ${size}`);
  }
  const magic = formOfBytes(bytes);
  if (magic === 'midi') {
    const { readMidiFile } = await import('./midi-file/reader.ts');
    return withWarnings(wrongEnding(name, 'midi'), readMidiFile(bytes, name, options));
  }
  if (magic === 'mxl') {
    const { readMxl } = await import('./musicxml/mxl.ts');
    return withWarnings(wrongEnding(name, 'mxl'), readMxl(bytes, name, options));
  }
  const issues = new IssueList();
  const text = decodeText(bytes, name, issues);
  const form = text === undefined ? undefined : formOfText(text);
  const said = ENDINGS[ending(name)];
  if (form === undefined && (said === 'midi' || said === 'mxl'))
    return unreadable(
      'file.damaged',
      `Cannot read ${name}: it is called ${FORM_NAMES[said]} and does not begin as one`,
    );
  if (text === undefined) return { issues: issues.list(), noteCount: 0 };
  if (form === undefined) return unreadable('file.unknown', unknownForm(name));
  const warnings = [...issues.list(), ...wrongEnding(name, form)];
  if (form === 'abc') return withWarnings(warnings, await readAbc(text, name, options));
  const { readMusicXml } = await import('./musicxml/reader.ts');
  return withWarnings(warnings, readMusicXml(text, name, options));
}

function withWarnings(warnings: readonly Issue[], reading: FileReading): FileReading {
  return warnings.length === 0 ? reading : { ...reading, issues: [...warnings, ...reading.issues] };
}

function wrongEnding(name: string, form: Form): Issue[] {
  const said = ENDINGS[ending(name)];
  if (!said || said === form) return [];
  const message = `${name} is called ${FORM_NAMES[said]} but holds ${FORM_NAMES[form]}: read as that`;
  return [{ code: 'file.ending', message, severity: 'warning' }];
}

function formOfBytes(bytes: Uint8Array): 'midi' | 'mxl' | undefined {
  const head = String.fromCharCode(...bytes.subarray(0, 4));
  if (head === 'MThd' || head === 'RIFF') return 'midi';
  return head === 'PK\u0003\u0004' ? 'mxl' : undefined;
}

function formOfText(text: string): 'abc' | 'musicxml' | undefined {
  const start = text.trimStart();
  if (start.startsWith('<')) return 'musicxml';
  return /^(X|K):/m.test(text) || /^%abc/.test(text) ? 'abc' : undefined;
}

function ending(name: string): string {
  return /\.([A-Za-z0-9]+)$/.exec(name)?.[1]?.toLowerCase() ?? '';
}

function unknownForm(name: string): string {
  const said = ENDINGS[ending(name)];
  const hint =
    said === 'abc'
      ? 'ABC needs an X: line and a K: line before the music'
      : 'it is no MusicXML (plain or .mxl), no ABC and no MIDI file';
  return `Cannot read ${name}: ${hint}`;
}
