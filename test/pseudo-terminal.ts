// A program in a pseudo-terminal: what it wrote, and how it ended.

import { resolve } from 'node:path';
import { spawn } from '@lydell/node-pty';
import type { TerminalSize } from '../src/ports/terminal.ts';
import { built } from './built.ts';
import { PATIENCE_MS } from './hangs.ts';

const LEAVES_ALTERNATE_SCREEN = '\x1b[?1049l';
const SHOWS_CURSOR = '\x1b[?25h';

export interface Seated {
  /** The exit status, as a shell has it. */
  readonly ended: Promise<number>;
  readonly pid: number;
  bytes(): string;
  type(keys: string): void;
  kill(signal: string): void;
  /** The window is closed: the terminal is gone. */
  hangUp(): void;
  resize(size: TerminalSize): void;
  /** Resolves once the text has been written. Where it does not come the program is ended, and what it wrote is told. */
  until(text: string): Promise<void>;
}

/**
 * Starts a source by its name from the project's root. `settings.env` is added to this process's own. `borrowed`: the
 * terminal is not the program's to open, as after su: what it was given is all that it has.
 */
export function seat(
  file: string,
  words: readonly string[],
  settings: {
    readonly size?: TerminalSize;
    readonly env?: NodeJS.ProcessEnv;
    readonly cwd?: string;
    readonly borrowed?: boolean;
  } = {},
): Seated {
  const { columns, rows } = settings.size ?? { columns: 80, rows: 24 };
  const program = [process.execPath, built(file), ...words];
  // Root may open whatever there is: there somebody else sits at its terminal.
  const nobody = process.getuid?.() === 0 ? { uid: 65_534, gid: 65_534 } : {};
  const [command, ...rest] = settings.borrowed
    ? ['/bin/sh', '-c', 'chmod 0 "$(tty)" 2>/dev/null; exec "$@"', 'sh', ...program]
    : program;
  const pty = spawn(command!, rest, {
    ...(settings.borrowed ? nobody : {}),
    cols: columns,
    rows,
    env: { ...process.env, TERM: 'xterm-256color', LANG: 'C.UTF-8', ...settings.env },
    cwd: settings.cwd ?? resolve(import.meta.dirname, '..'),
  });
  let bytes = '';
  const waiting: { text: string; resolve: () => void; reject: (why: string) => void }[] = [];
  pty.onData((data) => {
    bytes += data;
    for (const one of waiting) if (bytes.includes(one.text)) one.resolve();
  });
  const ended = new Promise<number>((done) => {
    pty.onExit(({ exitCode, signal }) => {
      for (const one of waiting) one.reject('it ended');
      done(signal ? 128 + signal : exitCode);
    });
  });
  return {
    ended,
    pid: pty.pid,
    bytes: () => bytes,
    type: (keys) => pty.write(keys),
    kill: (signal) => void process.kill(pty.pid, signal),
    hangUp: () => (pty as unknown as { destroy(): void }).destroy(),
    resize: (size) => pty.resize(size.columns, size.rows),
    until: (text) =>
      new Promise((done, fail) => {
        if (bytes.includes(text)) return done();
        const reject = (why: string) => fail(new Error(`no "${text}", ${why}: ${bytes.slice(-500)}`));
        const timer = setTimeout(() => {
          reject(`waited for ${PATIENCE_MS / 1000} s`);
          pty.kill('SIGKILL');
        }, PATIENCE_MS);
        timer.unref();
        waiting.push({
          text,
          resolve: () => {
            clearTimeout(timer);
            done();
          },
          reject,
        });
      }),
  };
}

/** The screen was left as it was found: the main one, with its cursor. */
export function isRestored(bytes: string): boolean {
  return (
    bytes.lastIndexOf(LEAVES_ALTERNATE_SCREEN) > bytes.lastIndexOf('\x1b[?1049h') &&
    bytes.lastIndexOf(SHOWS_CURSOR) > bytes.lastIndexOf('\x1b[?25l')
  );
}
