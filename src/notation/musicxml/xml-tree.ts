// XML to small trees, one for each element that is asked for, so that a long score never stands in memory as a whole.
// saxes checks well-formedness and never fetches or expands anything; a DTD that declares entities is refused.

import { SaxesParser } from 'saxes';
import type { FilePlace } from '../reading.ts';

export interface XmlElement {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: XmlElement[];
  text: string;
  readonly line: number;
  readonly column: number;
}

/** What stopped the reading of a text. */
export class XmlTrouble extends Error {
  readonly place: FilePlace;
  constructor(message: string, place: FilePlace) {
    super(message);
    this.name = 'XmlTrouble';
    this.place = place;
  }
}

export interface XmlHandlers {
  /** Elements that are handed over whole, once closed, and then forgotten. */
  readonly whole: ReadonlySet<string>;
  /** The start of any element that is not inside a whole one. May throw an XmlTrouble. */
  open(element: XmlElement): void;
  close(element: XmlElement): void;
}

const DEEPEST = 64;
const MOST_ELEMENTS = 4_000_000;

/** Throws XmlTrouble with a place for anything that is not well-formed. */
export function readXml(text: string, handlers: XmlHandlers): void {
  const parser = new SaxesParser({ xmlns: false, position: true });
  const stack: XmlElement[] = [];
  /** Depth of the whole element under way, or -1. */
  let wholeAt = -1;
  let elements = 0;
  const place = (): FilePlace => ({ line: parser.line, column: parser.column + 1 });
  const stop = (message: string): never => {
    throw new XmlTrouble(message, place());
  };

  parser.on('error', (error) => stop(error.message.replace(/^\d+:\d+: /, '').replace(/\.$/, '')));
  parser.on('doctype', (doctype) => {
    if (/<!ENTITY/i.test(doctype)) stop('its document type declares entities, which are never expanded here');
  });
  parser.on('opentag', (tag) => {
    elements += 1;
    if (stack.length >= DEEPEST) stop(`elements are nested more than ${DEEPEST} deep`);
    if (elements > MOST_ELEMENTS) stop(`there are more than ${MOST_ELEMENTS} elements`);
    const attributes = tag.attributes as Record<string, string>;
    const element: XmlElement = {
      name: tag.name,
      attributes,
      children: [],
      text: '',
      line: parser.line,
      column: parser.column,
    };
    if (wholeAt >= 0) stack.at(-1)!.children.push(element);
    else {
      handlers.open(element);
      if (handlers.whole.has(tag.name)) wholeAt = stack.length;
    }
    stack.push(element);
  });
  parser.on('text', (chunk) => {
    const inside = stack.at(-1);
    if (inside && wholeAt >= 0) inside.text += chunk;
  });
  parser.on('cdata', (chunk) => {
    const inside = stack.at(-1);
    if (inside && wholeAt >= 0) inside.text += chunk;
  });
  parser.on('closetag', () => {
    const element = stack.pop()!;
    if (wholeAt === stack.length) wholeAt = -1;
    else if (wholeAt >= 0) return;
    handlers.close(element);
  });
  parser.write(text).close();
}

export function child(element: XmlElement, name: string): XmlElement | undefined {
  return element.children.find((c) => c.name === name);
}

export function childrenNamed(element: XmlElement, name: string): XmlElement[] {
  return element.children.filter((c) => c.name === name);
}

/** Trimmed text of a child; undefined where there is no such child. */
export function childText(element: XmlElement, name: string): string | undefined {
  return child(element, name)?.text.trim();
}

/** A child's number; undefined where there is none, NaN where its text is no number. */
export function childNumber(element: XmlElement, name: string): number | undefined {
  const text = childText(element, name);
  return text === undefined ? undefined : /^[+-]?\d{1,9}(\.\d{1,9})?$/.test(text) ? Number(text) : Number.NaN;
}

export function placeOf(element: XmlElement): FilePlace {
  return { line: element.line, column: element.column };
}
