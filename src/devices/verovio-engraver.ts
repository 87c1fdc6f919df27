// The engraver behind its port: verovio, an optional package of its own (LGPL-3.0), loaded when a sheet is engraved.
// Its SVG is made plain, so that programs which know no style sheets draw it rightly.

import { setFlagsFromString } from 'node:v8';
import type { VerovioToolkit } from 'verovio/esm';
import type { EngravedSystem, Engraver } from '../ports/engraver.ts';
import { EXIT, fail, ok, type Problem, ProblemError, type Result } from '../problem.ts';
import { drawTempoNote } from './tempo-note.ts';

/** Makes staves 7 mm high, as in printed parts. */
const SCALE_PERCENT = 28;
/** Room for the brace before two staves. */
const BRACE_UNITS = 40;
const UNITS_PER_POINT = 100 / SCALE_PERCENT;

export async function openEngraver(): Promise<Result<Engraver>> {
  try {
    // Its code is used for a second or two: to compile it well takes longer than running it as it comes.
    setFlagsFromString('--liftoff-only');
    const [{ default: createModule }, { VerovioToolkit: Toolkit, enableLog, LOG_OFF }] = await Promise.all([
      import('verovio/wasm'),
      import('verovio/esm'),
    ]);
    const module = await createModule();
    // Its own lines have no place on a player's screen; what matters comes back as a ProblemError.
    enableLog(LOG_OFF, module);
    return ok(new VerovioEngraver(new Toolkit(module)));
  } catch (error) {
    return fail(absent(error));
  }
}

function absent(error: unknown): Problem {
  const missing = (error as NodeJS.ErrnoException).code === 'ERR_MODULE_NOT_FOUND';
  return {
    code: missing ? 'engraver.missing' : 'engraver.broken',
    message: missing
      ? 'Cannot engrave: the package "verovio" is not installed'
      : `Cannot engrave: the package "verovio" does not start (${error instanceof Error ? error.message : String(error)})`,
    hint: 'Run npm install verovio, or write the sheet as MusicXML or with --text.',
    exitStatus: EXIT.device,
  };
}

class VerovioEngraver implements Engraver {
  readonly #toolkit: VerovioToolkit;

  constructor(toolkit: VerovioToolkit) {
    this.#toolkit = toolkit;
  }

  async engrave(musicXml: string, { widthPt }: { readonly widthPt: number }): Promise<EngravedSystem[]> {
    this.#toolkit.setOptions({
      pageWidth: Math.round(widthPt * UNITS_PER_POINT),
      // Lower than any system, so that each page of the engraver is one system, cut to its height.
      pageHeight: 100,
      adjustPageHeight: true,
      scale: SCALE_PERCENT,
      breaks: 'auto',
      // The fewest bar numbers that can be had: on a sheet the steps are counted.
      mnumInterval: 64,
      header: 'none',
      footer: 'none',
      pageMarginTop: 15,
      pageMarginBottom: 15,
      pageMarginLeft: musicXml.includes('<staves>') ? BRACE_UNITS : 0,
      pageMarginRight: 0,
      smuflTextFont: 'none',
      svgViewBox: true,
      // The same score gives the same picture.
      xmlIdSeed: 1,
    });
    // It takes a score that breaks off, and then engraves nothing of it.
    const taken = Boolean(this.#toolkit.loadData(musicXml));
    const pictures = taken
      ? Array.from({ length: this.#toolkit.getPageCount() }, (_, i) => this.#toolkit.renderToSVG(i + 1))
      : [];
    if (!pictures.some((svg) => svg.includes('class="measure'))) {
      throw new ProblemError({
        code: 'engraver.refused',
        message: 'Cannot engrave the sheet: the engraver does not take its MusicXML',
        exitStatus: EXIT.internal,
      });
    }
    return pictures.map((svg) => systemOf(svg, widthPt));
  }
}

function systemOf(svg: string, widthPt: number): EngravedSystem {
  const [, width, height] = /viewBox="0 0 ([\d.]+) ([\d.]+)"/.exec(svg) ?? [];
  if (width === undefined || height === undefined)
    throw new Error('The engraver gave a picture without a size');
  return { svg: plainSvg(svg), widthPt, heightPt: (widthPt * Number(height)) / Number(width) };
}

/** Characters of music typefaces in texts, as characters that text typefaces have. */
const TEXT_SIGNS: Readonly<Record<string, string>> = {
  '\u{EA64}': '\u266D',
  '\u{EA65}': '\u266E',
  '\u{EA66}': '\u266F',
};

/** The page's typeface (DejaVu Serif) is so much wider than the one that the engraver leaves room for (Times). */
const TEXT_SCALE = 0.76;

/** A text that begins with a note and its dots in the music typeface: where, what else it says, and the signs. */
const TEMPO_TEXT =
  /<text stroke="none" x="(\d+)"([^>]*)>((?:\s*<tspan[^>]*>)+?)\s*<tspan[^>]*>([\u{ECA2}-\u{ECB6}][\s\u{ECB7}]*)(?=<\/tspan>)/gu;

/** What the style sheet says, said on the elements; black where a colour is inherited; only groups that change something. */
function plainSvg(svg: string): string {
  const plain = svg
    .replace(
      /<tspan font-size="(\d+)px"/g,
      (_, size) => `<tspan font-size="${Math.round(TEXT_SCALE * size)}px"`,
    )
    .replace(/<style[\s\S]*?<\/style>/g, '')
    .replace(/<desc>[\s\S]*?<\/desc>\s*/g, '')
    .replace(/currentColor/g, 'black')
    .replace(/<g class="page-margin"/g, '<g class="page-margin" stroke="black"')
    .replace(/<g ([^>]*class="(?:reh|tempo|fing|ending)[^>]*)>/g, '<g font-weight="bold" $1>')
    .replace(/<g ([^>]*class="(?:dir|dynam)[^>]*)>/g, '<g font-style="italic" $1>')
    .replace(/<text /g, '<text stroke="none" ')
    .replace(/<use /g, '<use stroke="none" ')
    .replace(TEMPO_TEXT, (_, x, more, tspans, signs) => {
      const [, y] = /y="(\d+)"/.exec(more)!;
      const { svg: note, width } = drawTempoNote(signs, Number(x), Number(y));
      return `${note}<text stroke="none" x="${Math.round(Number(x) + width)}"${more}>${tspans}<tspan>`;
    })
    .replace(/> = </g, '>= <')
    .replace(/[\u{E000}-\u{F8FF}]/gu, (sign) => TEXT_SIGNS[sign] ?? '');
  return ungrouped(plain);
}

/** Groups that only name what is in them are taken off: they are most of the picture, and drawing it is most of a sheet. */
function ungrouped(svg: string): string {
  const drawn = svg.indexOf('</defs>');
  const kept: boolean[] = [];
  const body = svg
    .slice(drawn)
    .replace(/<g([^>]*?)(\/?)>|<\/g>/g, (tag, attributes: string | undefined, alone) => {
      if (attributes === undefined) return kept.pop() ? tag : '';
      const says = /\s(?:transform|stroke|fill|opacity|font-[a-z]+|visibility)=/.test(attributes);
      if (alone === '/') return '';
      kept.push(says);
      return says ? tag : '';
    });
  return svg.slice(0, drawn) + body;
}
