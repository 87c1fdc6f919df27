// Pages as a PDF: pdfkit draws, svg-to-pdfkit takes the engraved systems in; both optional and loaded when a PDF is
// written. The typeface is embedded: the standard PDF typefaces have no flats, sharps or letters beyond Latin 1.

import { createRequire } from 'node:module';
import { EXIT, ProblemError } from '../problem.ts';
import type { Page, PageItem } from '../sheet/page.ts';

/** The calls of pdfkit that are used; the package brings no types. */
interface PdfDocument {
  on(event: 'data', listener: (bytes: Uint8Array) => void): void;
  on(event: 'end' | 'error', listener: (error?: unknown) => void): void;
  registerFont(name: string, file: string): void;
  addPage(how: { size: [number, number]; margin: number }): void;
  font(name: string): PdfDocument;
  fontSize(points: number): PdfDocument;
  fillColor(colour: string): PdfDocument;
  widthOfString(text: string): number;
  text(text: string, x: number, y: number, how: { lineBreak: false; baseline: 'alphabetic' }): void;
  rect(x: number, y: number, width: number, height: number): PdfDocument;
  lineWidth(points: number): PdfDocument;
  stroke(colour: string): void;
  end(): void;
}

interface Tools {
  readonly Document: new (how: Readonly<Record<string, unknown>>) => PdfDocument;
  readonly drawSvg: (
    document: PdfDocument,
    svg: string,
    x: number,
    y: number,
    how: Readonly<Record<string, unknown>>,
  ) => void;
  readonly plainFont: string;
  readonly boldFont: string;
}

/** Loads what draws; throws a ProblemError ('pdf.missing') where the packages are not installed. */
export function openPdf(): (pages: readonly Page[], title: string) => Promise<Uint8Array> {
  const tools = loadTools();
  return (pages, title) => pdfOf(pages, title, tools);
}

async function pdfOf(
  pages: readonly Page[],
  title: string,
  { Document, drawSvg, plainFont, boldFont }: Tools,
): Promise<Uint8Array> {
  const document = new Document({
    autoFirstPage: false,
    // The same sheet gives the same file: no date of making in it.
    info: { Title: title, Creator: 'Fettle', CreationDate: new Date(0), ModDate: new Date(0) },
  });
  const chunks: Uint8Array[] = [];
  const written = new Promise<void>((resolve, reject) => {
    document.on('data', (bytes) => chunks.push(bytes));
    document.on('end', () => resolve());
    document.on('error', reject);
  });
  document.registerFont('plain', plainFont);
  document.registerFont('bold', boldFont);
  const drawItem = (item: PageItem) => {
    switch (item.kind) {
      case 'text': {
        document
          .font(item.bold ? 'bold' : 'plain')
          .fontSize(item.sizePt)
          .fillColor('black');
        const x = item.align === 'right' ? item.x - document.widthOfString(item.text) : item.x;
        document.text(item.text, x, item.y, { lineBreak: false, baseline: 'alphabetic' });
        break;
      }
      case 'box':
        document.rect(item.x, item.y, item.sizePt, item.sizePt).lineWidth(0.7).stroke('black');
        break;
      case 'system': {
        const { svg, widthPt, heightPt } = item.system;
        drawSvg(document, svg, item.x, item.y, {
          width: widthPt,
          height: heightPt,
          preserveAspectRatio: 'xMinYMin meet',
          assumePt: true,
          fontCallback: (_family: string, bold: boolean) => (bold ? 'bold' : 'plain'),
        });
      }
    }
  };
  for (const page of pages) {
    document.addPage({ size: [page.widthPt, page.heightPt], margin: 0 });
    page.items.forEach(drawItem);
  }
  document.end();
  await written;
  return Buffer.concat(chunks);
}

function loadTools(): Tools {
  const require = createRequire(import.meta.url);
  try {
    return {
      Document: require('pdfkit') as Tools['Document'],
      drawSvg: require('svg-to-pdfkit') as Tools['drawSvg'],
      plainFont: require.resolve('dejavu-fonts-ttf/ttf/DejaVuSerif.ttf'),
      boldFont: require.resolve('dejavu-fonts-ttf/ttf/DejaVuSerif-Bold.ttf'),
    };
  } catch {
    throw new ProblemError({
      code: 'pdf.missing',
      message:
        'Cannot write a PDF: the packages "pdfkit", "svg-to-pdfkit" and "dejavu-fonts-ttf" are not all installed',
      hint: 'Run npm install in the folder of Fettle, or write the sheet as SVG or MusicXML.',
      exitStatus: EXIT.device,
    });
  }
}
