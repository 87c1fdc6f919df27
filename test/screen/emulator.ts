// What a person would see: a frame's text through a terminal emulator (xterm), line by line.

import { Terminal } from '@xterm/headless';
import type { Frame } from '../../src/ports/terminal.ts';

export async function seen(bytes: string, size: { columns: number; rows: number }): Promise<string[]> {
  const terminal = new Terminal({ cols: size.columns, rows: size.rows, allowProposedApi: true });
  await new Promise<void>((resolve) => terminal.write(bytes, resolve));
  const lines = Array.from(
    { length: size.rows },
    (_, i) => terminal.buffer.active.getLine(i)?.translateToString(true).trimEnd() ?? '',
  );
  terminal.dispose();
  return lines;
}

/** The frame as plain text, no styles: what must carry the meaning. */
export function plainText(frame: Frame): string[] {
  return frame.lines.map((runs) => runs.map(({ text }) => text).join(''));
}
