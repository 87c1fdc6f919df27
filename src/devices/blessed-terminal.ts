// The screen and the keys on a real terminal, over blessed's program: it knows the terminal's modes and names the keys.
// A frame's lines are compared with what stands there, and only changed lines are written, in one piece, so that a
// redraw costs well under a millisecond. Blessed is loaded here, when a screen is opened, and not before.

import type { BlessedProgram } from 'blessed';
import type { Frame, Key, Terminal, TerminalSize, TextRole, TextRun } from '../ports/terminal.ts';
import { printable } from '../printable.ts';
import { leave, restoredOnLeaving } from './leaving.ts';

export interface TerminalSettings {
  readonly input?: NodeJS.ReadableStream;
  readonly output?: NodeJS.WritableStream;
  /** False leaves weight and underline only; by default as NO_COLOR says (no-color.org: set and not empty). */
  readonly colour?: boolean;
}

/** Parameters of "select graphic rendition" (ECMA-48), 256-colour palette; readable on dark and on light ground. */
const COLOURED: Readonly<Record<TextRole, string>> = {
  plain: '0',
  strong: '0;1',
  dim: '0;38;5;245',
  good: '0;38;5;36',
  slip: '0;1;38;5;167',
  early: '0;38;5;69',
  late: '0;38;5;172',
  click: '0;1;38;5;37',
  title: '0;1;38;5;103',
  selected: '0;7',
};

const UNCOLOURED: Readonly<Record<TextRole, string>> = {
  plain: '0',
  strong: '0;1',
  dim: '0;2',
  good: '0',
  slip: '0;1',
  early: '0',
  late: '0',
  click: '0;1',
  title: '0;1;4',
  selected: '0;7',
};

/** The exit status of a program whose terminal was closed. */
const HUNG_UP = 129;

export async function openTerminal(settings: TerminalSettings = {}): Promise<BlessedTerminal> {
  const { default: blessed } = await import('blessed');
  const program = blessed.program({
    input: settings.input ?? process.stdin,
    output: settings.output ?? process.stdout,
    // Other entries of the terminal's own description make blessed write source text or nothing at all.
    terminal: 'xterm-256color',
    tput: true,
    buffer: false,
  } as never) as unknown as BlessedProgram;
  const noColour = (process.env.NO_COLOR ?? '') !== '';
  return new BlessedTerminal(program, settings.colour ?? !noColour);
}

export class BlessedTerminal implements Terminal {
  readonly #program: BlessedProgram;
  readonly #style: Readonly<Record<TextRole, string>>;
  readonly #forgetRestoring: () => void;
  /** What stands on the screen, by row, as it was written. */
  #shown: string[] = [];
  #closed = false;

  constructor(program: BlessedProgram, colour: boolean) {
    this.#program = program;
    this.#style = colour ? COLOURED : UNCOLOURED;
    this.#forgetRestoring = restoredOnLeaving(() => this.close());
    program.alternateBuffer();
    program.hideCursor();
    program.clear();
    program.on('resize', () => this.#forget());
    // A keyboard that is gone for good: nobody could ever leave. It may say so more than once, as when its mode is set back.
    program.input.on('error', () => leave(HUNG_UP));
    // The keyboard is listened to from the start: without raw mode, keys would be echoed over the screen.
    program.on('keypress', () => {});
  }

  size(): TerminalSize {
    return { columns: this.#program.cols, rows: this.#program.rows };
  }

  draw(frame: Frame): void {
    if (this.#closed) return;
    let out = '';
    for (let row = 0; row < this.#program.rows; row += 1) {
      const line = frame.lines[row]?.map((run) => this.#write(run)).join('') ?? '';
      if (this.#shown[row] === line) continue;
      this.#shown[row] = line;
      out += `\x1b[${row + 1};1H\x1b[0m\x1b[2K${line}`;
    }
    // Synchronised update (private mode 2026): terminals that know it show the frame at once, others ignore it.
    if (out !== '') this.#program.output.write(`\x1b[?2026h${out}\x1b[0m\x1b[?2026l`);
  }

  onKey(callback: (key: Key) => void): void {
    this.#program.on('keypress', (character: string | undefined, key: BlessedKey | undefined) => {
      const name = keyName(character, key);
      if (name !== undefined && !this.#closed) callback({ name });
    });
  }

  onResize(callback: () => void): void {
    this.#program.on('resize', () => {
      if (!this.#closed) callback();
    });
  }

  close(): void {
    if (this.#closed) return;
    this.#closed = true;
    this.#forgetRestoring();
    this.#program.output.write('\x1b[0m');
    this.#program.clear();
    this.#program.showCursor();
    this.#program.normalBuffer();
    this.#program.flush();
    this.#program.destroy();
  }

  #write(run: TextRun): string {
    return `\x1b[${this.#style[run.role]}m${printable(run.text).replaceAll('\n', ' ')}`;
  }

  #forget(): void {
    this.#shown = [];
    this.#program.clear();
  }
}

interface BlessedKey {
  readonly name?: string;
  readonly ctrl?: boolean;
  readonly meta?: boolean;
  readonly shift?: boolean;
  readonly ch?: string;
}

/** The key's name as the terminal port has it; undefined for what is not one key press. */
export function keyName(character: string | undefined, key: BlessedKey | undefined): string | undefined {
  // Blessed says both 'enter' and 'return' for one key.
  if (key?.name === 'return') return undefined;
  const name = key?.name === 'linefeed' ? 'enter' : (key?.name ?? character ?? key?.ch);
  if (name === undefined || name === '' || name === 'undefined') return undefined;
  const shifted = key?.shift && key.name !== undefined;
  return `${key?.ctrl ? 'C-' : ''}${key?.meta ? 'M-' : ''}${shifted ? 'S-' : ''}${name}`;
}
