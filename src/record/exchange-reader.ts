// Reads what exchange-writer.ts wrote, line by line; nothing is believed before the schema has seen it.

import type { Line, Run } from '../drills/step.ts';
import type { Passage } from '../music/passage.ts';
import { ENTRY_FORMAT, type Entry, type EntrySummary } from './entry.ts';
import { EXCHANGE_KIND } from './exchange-writer.ts';
import { stepFingerprint } from './fingerprint.ts';
import { type Checked, checkEntry, checkPassage, checkStep, checkSummary } from './schema.ts';

export type ExchangeItem =
  | { readonly kind: 'passage'; readonly passage: Passage }
  | { readonly kind: 'take'; readonly entry: Entry }
  /** The first line, a step, an empty line: read, and nothing to take up. */
  | { readonly kind: 'read' };

/** What stands in a take's line before what was played. */
export const BEFORE_PLAYING = ',"playing":';

/** Reads the lines of a file in their order. */
export class ExchangeReader {
  readonly #steps = new Map<string, { readonly run: Run; readonly line: Line }>();
  #begun = false;

  get hasBegun(): boolean {
    return this.#begun;
  }

  /** Not ok with what is wrong in the line; the lines after it can be read all the same, but for the first line. */
  read(text: string): Checked<ExchangeItem> {
    const parsed = parsedWhole(text);
    if (!parsed) return { ok: true, value: { kind: 'read' } };
    return parsed.ok ? this.#readLine(parsed.value) : parsed;
  }

  /**
   * The same, but of a take only its summary: what was played is not looked at, which is several times as quick. Undefined
   * where the line is no take.
   * @param heading the line as far as `BEFORE_PLAYING`, where it has that
   */
  readSummary(heading: string | undefined, whole: () => string): Checked<EntrySummary | undefined> {
    const parsed = (heading === undefined ? undefined : parsedHeading(heading)) ?? parsedWhole(whole());
    if (!parsed) return { ok: true, value: undefined };
    if (!parsed.ok) return parsed;
    if (this.#begun && 'take' in parsed.value) return checkSummary(parsed.value.take);
    const read = this.#readLine(parsed.value);
    return read.ok ? { ok: true, value: undefined } : read;
  }

  #readLine(line: object): Checked<ExchangeItem> {
    if (!this.#begun) return this.#readFirst(line);
    if ('music' in line) return this.#readPassage(line.music);
    if ('run' in line) return this.#readStep(line);
    if ('take' in line) return this.#readTake(line.take);
    return { ok: false, why: 'it is no passage, no step and no take' };
  }

  #readFirst(line: object): Checked<ExchangeItem> {
    const { fettle, format } = line as { fettle?: unknown; format?: unknown };
    if (fettle !== EXCHANGE_KIND) return { ok: false, why: 'it does not begin a practice record' };
    if (format !== ENTRY_FORMAT)
      return { ok: false, why: `it is of format ${String(format)}, known is ${ENTRY_FORMAT}` };
    this.#begun = true;
    return { ok: true, value: { kind: 'read' } };
  }

  #readPassage(music: unknown): Checked<ExchangeItem> {
    const checked = checkPassage(music);
    return checked.ok ? { ok: true, value: { kind: 'passage', passage: checked.value } } : checked;
  }

  #readStep(line: object): Checked<ExchangeItem> {
    const { step: _, ...step } = line as { step?: unknown };
    const checked = checkStep(step);
    if (!checked.ok) return checked;
    // By what it is, not by what the line says it is.
    this.#steps.set(stepFingerprint(checked.value.run, checked.value.line), checked.value);
    return { ok: true, value: { kind: 'read' } };
  }

  #readTake(take: unknown): Checked<ExchangeItem> {
    const whole = this.#withStep(take);
    if (!whole.ok) return whole;
    const checked = checkEntry(whole.value);
    return checked.ok ? { ok: true, value: { kind: 'take', entry: checked.value } } : checked;
  }

  #withStep(take: unknown): Checked<unknown> {
    if (typeof take !== 'object' || take === null || !('playing' in take)) return { ok: true, value: take };
    const playing = (take.playing ?? {}) as { terms?: { step?: unknown } };
    const { step, ...terms } = playing.terms ?? {};
    const known = this.#steps.get(String(step));
    if (!known) return { ok: false, why: `the step ${String(step)} does not stand before it` };
    const { tempoBpm } = take as { tempoBpm?: unknown };
    const run = { ...known.run, tempo: { ...known.run.tempo, bpm: tempoBpm } };
    return {
      ok: true,
      value: { ...take, playing: { ...playing, terms: { run, line: known.line, ...terms } } },
    };
  }
}

/** A take's line as it is written has what was played last; undefined where this one is not like that. */
function parsedHeading(heading: string): Checked<object> | undefined {
  if (!heading.startsWith('{"take":')) return undefined;
  const parsed = parsedLine(`${heading}}}`);
  return parsed.ok ? parsed : undefined;
}

/** Undefined where the line is empty. */
function parsedWhole(text: string): Checked<object> | undefined {
  return text.trim() === '' ? undefined : parsedLine(text);
}

function parsedLine(text: string): Checked<object> {
  let line: unknown;
  try {
    line = JSON.parse(text);
  } catch {
    return { ok: false, why: 'it is no JSON, or it is cut off' };
  }
  if (typeof line !== 'object' || line === null) return { ok: false, why: 'it is no object' };
  return { ok: true, value: line };
}
