// `fettle sheet`: a passage's drills written out on paper, by the ending of the file, or as text.

import { extname } from 'node:path';
import { foreseenSnags } from '../coaching/foreseen.ts';
import { readDrillNames } from '../drills/settings-text.ts';
import { passagePlan } from '../fingering/passage-plan.ts';
import { INSTRUMENTS } from '../music/instrument.ts';
import type { Span } from '../music/span.ts';
import type { EngravedSystem, Engraver } from '../ports/engraver.ts';
import { layOut, type SheetBlock, systemWidthPt } from '../sheet/lay-out.ts';
import { makeSheet, sheetMusic } from '../sheet/make-sheet.ts';
import { PAPER, type PaperName } from '../sheet/page.ts';
import type { Sheet } from '../sheet/sheet.ts';
import { svgPage } from '../sheet/svg-page.ts';
import { sheetText } from '../sheet/text-sheet.ts';
import { fingeringMarks, foreseenSentence } from '../wording/fingering.ts';
import { readKeywork } from './keywork-argument.ts';
import { tempoBpm } from './number-argument.ts';
import { loadSpan } from './passage-argument.ts';
import { print } from './print.ts';
import type { DrillOptions } from './session-options.ts';
import { readSettings } from './session-setup.ts';
import { need, usage } from './usage-problem.ts';
import { fileStem, refuseOverwriting, writeWhole } from './written-file.ts';

export interface SheetOptions extends Omit<DrillOptions, 'drill'> {
  readonly drills?: string;
  readonly goal?: string;
  readonly out?: string;
  readonly text?: boolean;
  readonly paper: string;
  readonly footer?: string;
  readonly force?: boolean;
  readonly yes?: boolean;
}

const DRILLS = 'landings,switchback,widening';
/** Where nobody knows where it trips: nobody named it, and the fingers foresee nothing. */
const DRILLS_WITHOUT_SNAG = 'landings,switchback';

/** More pages than this are asked for twice. */
const MOST_PAGES = 40;
/** Bars of music on a page, about: enough to say beforehand that a sheet will be long. */
const BARS_PER_PAGE = 30;

const ENDINGS = ['.pdf', '.svg', '.musicxml', '.xml'];

export async function sheet(argument: string, options: SheetOptions): Promise<void> {
  const span = await loadSpan(argument, options);
  const wishes = wishesFor(span, options);
  const made = need(makeSheet(span, wishes));
  if (options.text) {
    for (const line of sheetText(made)) print(line);
    return;
  }
  const path = options.out ?? `${fileStem(span.passage.title)}.pdf`;
  const ending = extname(path).toLowerCase();
  if (!ENDINGS.includes(ending)) {
    throw usage(
      'sheet.form',
      `Cannot write the sheet as "${path}": its ending names no form`,
      `Known: ${ENDINGS.join(', ')}; --text prints it here.`,
    );
  }
  refuseOverwriting(path, 'sheet', options.force);
  const bars = made.sections.reduce((sum, { music }) => sum + music.bars.length, 0);
  if (bars > MOST_PAGES * BARS_PER_PAGE && !options.yes) {
    throw usage(
      'sheet.long',
      `Cannot write the sheet unasked: it has ${bars} bars, more than ${MOST_PAGES} pages`,
      'Choose a shorter span with --bars, or say --yes.',
    );
  }
  const { writeMusicXml } = await import('../notation/musicxml/writer.ts');
  if (ending === '.musicxml' || ending === '.xml') {
    writeWhole(path, writeMusicXml(sheetMusic(made)));
    print(`Wrote ${made.sections.length} sections in ${bars} bars to ${path}`);
    return;
  }
  const paper = readPaper(options.paper);
  // The engraver is large: while it is compiled the PDF's packages are loaded.
  const opening = (await import('../devices/verovio-engraver.ts')).openEngraver();
  const pdfOf = ending === '.pdf' ? (await import('../devices/pdf-pages.ts')).openPdf() : undefined;
  const engraver = need(await opening);
  const pages = layOut(made, await engraved(made, engraver, writeMusicXml, systemWidthPt(paper)), paper);
  if (!pdfOf) {
    // A picture is one page: the others stand beside it, and none of them is written over unasked either.
    const paths = pages.map((_, i) =>
      i === 0 ? path : `${path.slice(0, -ending.length)}-${i + 1}${ending}`,
    );
    for (const one of paths) refuseOverwriting(one, 'sheet', options.force);
    pages.forEach((page, i) => {
      writeWhole(paths[i]!, svgPage(page));
    });
  } else {
    writeWhole(path, await pdfOf(pages, made.title));
  }
  if (options.drills === undefined && !wishes.drills.includes('widening'))
    print(
      'Without widening: nobody knows where it trips. --snag names the onset where the bad interval begins.',
    );
  print(`Wrote ${pages.length === 1 ? 'a page' : `${pages.length} pages`} to ${path}`);
}

function wishesFor(span: Span, options: SheetOptions) {
  const { passage } = span;
  const keywork = readKeywork(options.keywork, passage);
  const plans = passagePlan(passage, keywork);
  const [foreseen] = options.snag === undefined ? foreseenSnags(span, keywork) : [];
  const snagged = foreseen ? { ...options, snag: String(foreseen.onset) } : options;
  const usual = snagged.snag === undefined ? DRILLS_WITHOUT_SNAG : DRILLS;
  const drills = need(readDrillNames(options.drills ?? usual));
  const { click: _, ...settings } = readSettings(span, drills, snagged);
  const hardest = foreseen && foreseenSentence([foreseen], span);
  const goalBpm = options.goal === undefined ? passage.tempo.bpm : tempoBpm(options.goal);
  const instrument = INSTRUMENTS[passage.parts[0]?.instrument ?? 'keyboard'].name;
  return {
    drills: drills.map(({ name }) => name),
    settings,
    ...(hardest === undefined ? {} : { snagWords: `The snag is foreseen, not heard. ${hardest}` }),
    ...(plans.ok ? { marks: fingeringMarks(plans.value[0]!) } : {}),
    goalBpm,
    subtitle: [`${instrument}, to be ${goalBpm} a minute`, passage.composer ?? ''] as const,
    ...(options.footer === undefined ? {} : { footer: options.footer }),
  };
}

function readPaper(text: string): PaperName {
  if (Object.hasOwn(PAPER, text)) return text as PaperName;
  throw usage('option.paper', `Cannot use the paper "${text}": ${Object.keys(PAPER).join(' or ')} is needed`);
}

async function engraved(
  { sections }: Sheet,
  engraver: Engraver,
  writeMusicXml: (music: Sheet['sections'][number]['music']) => string,
  widthPt: number,
): Promise<SheetBlock[]> {
  const blocks: SheetBlock[] = [];
  for (const { heading, words, rungsBpm, music } of sections) {
    // One part alone needs no name before its staff: the sheet's title line has it.
    const [only, ...others] = music.parts;
    const shown = others.length > 0 ? music : { ...music, parts: [{ ...only!, name: '' }] };
    const systems: readonly EngravedSystem[] = await engraver.engrave(writeMusicXml(shown), { widthPt });
    blocks.push({ heading, words, boxes: rungsBpm.map(String), systems });
  }
  return blocks;
}
