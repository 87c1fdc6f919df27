// `fettle convert`: a passage, or the steps of a drill on it, written as another form: by the ending of the file.

import { extname } from 'node:path';
import { stepsPassage } from '../drills/steps-passage.ts';
import type { Passage } from '../music/passage.ts';
import { wholeSpan } from '../music/span.ts';
import { refuseDrillOptions } from './idle-options.ts';
import { loadPassage, loadSpan } from './passage-argument.ts';
import { print } from './print.ts';
import type { DrillOptions } from './session-options.ts';
import { planSteps } from './session-setup.ts';
import { usage } from './usage-problem.ts';
import { refuseOverwriting, writeWhole } from './written-file.ts';

/** Writers by ending; each loads when it is needed. */
const WRITERS: Readonly<Record<string, (passage: Passage) => Promise<string | Uint8Array>>> = {
  '.abc': async (passage) => (await import('../notation/abc/writer.ts')).writeAbc(passage),
  '.musicxml': async (passage) => (await import('../notation/musicxml/writer.ts')).writeMusicXml(passage),
  '.xml': async (passage) => (await import('../notation/musicxml/writer.ts')).writeMusicXml(passage),
  '.mxl': async (passage) => (await import('../notation/musicxml/mxl.ts')).writeMxl(passage),
  '.mid': async (passage) => (await import('../notation/midi-file/writer.ts')).writeMidiFile(passage),
  '.midi': async (passage) => (await import('../notation/midi-file/writer.ts')).writeMidiFile(passage),
};

export interface ConvertOptions extends DrillOptions {
  readonly force?: boolean;
}

export async function convert(argument: string, path: string, options: ConvertOptions): Promise<void> {
  const write = WRITERS[extname(path).toLowerCase()];
  if (!write) {
    throw usage(
      'convert.form',
      `Cannot write "${path}": its ending names no form`,
      `Known: ${Object.keys(WRITERS).join(', ')}`,
    );
  }
  const passage =
    options.drill === undefined ? await chosen(argument, options) : await drilled(argument, options);
  refuseOverwriting(path, 'convert', options.force);
  writeWhole(path, await write(passage));
  print(`Wrote ${passage.onsets.length} onsets in ${passage.bars.length} bars to ${path}`);
}

/** The passage as it is. A span would cut bars: it is refused rather than guessed. */
async function chosen(argument: string, options: ConvertOptions): Promise<Passage> {
  if (options.bars !== undefined || options.onsets !== undefined || options.mark !== undefined) {
    throw usage(
      'convert.span',
      'Cannot write a part of the bars alone: it is drills that take a span',
      'Give a drill too, such as --drill through.',
    );
  }
  refuseDrillOptions(options);
  return loadPassage(argument, options);
}

async function drilled(argument: string, options: ConvertOptions): Promise<Passage> {
  const span = await loadSpan(argument, options);
  const steps = planSteps(span, options).map(({ step }) => step);
  return stepsPassage(steps, wholeSpan(span.passage).passage, `${span.passage.title}: ${options.drill}`);
}
