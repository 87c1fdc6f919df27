// A terminal without a screen: it keeps every frame and can have its keys pressed and its size changed. It holds
// frames to their law (no more rows and columns than they say), so that every test that draws also tests this.

import type { Frame, Key, Terminal, TerminalSize } from '../ports/terminal.ts';

export class RecordedTerminal implements Terminal {
  #size: TerminalSize;
  readonly #frames: Frame[] = [];
  readonly #keyCallbacks: ((key: Key) => void)[] = [];
  readonly #resizeCallbacks: (() => void)[] = [];
  #closed = false;

  constructor(size: TerminalSize = { columns: 80, rows: 24 }) {
    this.#size = size;
  }

  get frames(): readonly Frame[] {
    return this.#frames;
  }

  get closed(): boolean {
    return this.#closed;
  }

  /** The rows of the last frame as bare text; empty before the first. */
  lines(): readonly string[] {
    return (this.#frames.at(-1)?.lines ?? []).map((line) => line.map((run) => run.text).join(''));
  }

  size(): TerminalSize {
    return this.#size;
  }

  draw(frame: Frame): void {
    if (this.#closed) throw new Error('Cannot draw: the terminal is closed');
    if (frame.lines.length > frame.rows) {
      throw new RangeError(`Cannot draw ${frame.lines.length} lines: the frame has ${frame.rows} rows`);
    }
    frame.lines.forEach((line, row) => {
      const width = line.reduce((sum, run) => sum + [...run.text].length, 0);
      if (width > frame.columns) {
        throw new RangeError(`Cannot draw row ${row}: ${width} cells in ${frame.columns} columns`);
      }
    });
    this.#frames.push(frame);
  }

  onKey(callback: (key: Key) => void): void {
    this.#keyCallbacks.push(callback);
  }

  onResize(callback: () => void): void {
    this.#resizeCallbacks.push(callback);
  }

  /** Presses keys by name, one after another. */
  press(...names: string[]): void {
    for (const name of names) for (const callback of this.#keyCallbacks) callback({ name });
  }

  resize(size: TerminalSize): void {
    this.#size = size;
    for (const callback of this.#resizeCallbacks) callback();
  }

  close(): void {
    this.#closed = true;
  }
}
