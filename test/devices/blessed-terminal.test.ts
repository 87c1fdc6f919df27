// What is on the screen is read back through an independent terminal emulator.

import { PassThrough } from 'node:stream';
import xterm from '@xterm/headless';
import { afterEach, describe, expect, it } from 'vitest';
import { type BlessedTerminal, keyName, openTerminal } from '../../src/devices/blessed-terminal.ts';
import type { Frame, TextRole } from '../../src/ports/terminal.ts';
import { seat } from '../pseudo-terminal.ts';

const COLUMNS = 60;
const ROWS = 8;

class Screen {
  readonly output = Object.assign(new PassThrough(), { columns: COLUMNS, rows: ROWS, isTTY: true });
  readonly input = Object.assign(new PassThrough(), { isTTY: true, isRaw: false, setRawMode: () => {} });
  readonly emulator = new xterm.Terminal({ cols: COLUMNS, rows: ROWS, allowProposedApi: true });
  written = '';

  constructor() {
    this.output.on('data', (data: Buffer) => {
      this.written += data.toString();
      this.emulator.write(data);
    });
  }

  async lines(): Promise<string[]> {
    await new Promise((done) => setImmediate(done));
    await new Promise<void>((done) => this.emulator.write('', done));
    const { active } = this.emulator.buffer;
    return Array.from({ length: ROWS }, (_, row) => active.getLine(row)!.translateToString(true));
  }
}

let terminal: BlessedTerminal | undefined;
afterEach(() => terminal?.close());

async function open(colour = true): Promise<{ screen: Screen; terminal: BlessedTerminal }> {
  const screen = new Screen();
  terminal = await openTerminal({ input: screen.input, output: screen.output, colour });
  return { screen, terminal };
}

function frame(lines: string[], role: TextRole = 'plain'): Frame {
  return { columns: COLUMNS, rows: ROWS, lines: lines.map((text) => [{ text, role }]) };
}

describe('the screen', () => {
  it('shows the lines of a frame, flats and sharps too, and takes back what the next one lacks', async () => {
    const { screen, terminal } = await open();
    terminal.draw(frame(['B♭4 to D♯5', 'second line', '▁▂▃ third']));
    expect((await screen.lines()).slice(0, 4)).toEqual(['B♭4 to D♯5', 'second line', '▁▂▃ third', '']);
    terminal.draw(frame(['B♭4', 'second line']));
    expect((await screen.lines()).slice(0, 3)).toEqual(['B♭4', 'second line', '']);
  });

  it('writes changed lines only, and nothing for the same frame', async () => {
    const { screen, terminal } = await open();
    terminal.draw(frame(['one', 'two', 'three']));
    await screen.lines();
    screen.written = '';
    terminal.draw(frame(['one', 'two', 'three']));
    await screen.lines();
    expect(screen.written).toBe('');
    terminal.draw(frame(['one', 'TWO', 'three']));
    await screen.lines();
    expect(screen.written).toContain('TWO');
    expect(screen.written).not.toContain('one');
    expect(screen.written).not.toContain('three');
  });

  it('has no colour where none is wanted, and loses no text by it', async () => {
    const { screen, terminal } = await open(false);
    const roles: TextRole[] = [
      'plain',
      'strong',
      'dim',
      'good',
      'slip',
      'early',
      'late',
      'click',
      'title',
      'selected',
    ];
    await screen.lines();
    screen.written = '';
    terminal.draw({
      columns: COLUMNS,
      rows: ROWS,
      lines: [roles.map((role) => ({ text: `${role} `, role }))],
    });
    expect((await screen.lines())[0]!.trimEnd()).toBe(roles.join(' '));
    // Colours are the SGR parameters 30 to 49 and 90 to 107 (ECMA-48 and its common extension).
    const parameters = [...screen.written.matchAll(/\x1b\[([\d;]*)m/g)].flatMap((m) =>
      m[1]!.split(';').map(Number),
    );
    expect(parameters.filter((n) => (n >= 30 && n <= 49) || n >= 90)).toEqual([]);
  });

  it('lets no control character of a text move the cursor', async () => {
    const { screen, terminal } = await open();
    terminal.draw(frame(['safe \x1b[2J\x07 text']));
    expect((await screen.lines())[0]).toBe('safe  [2J  text');
  });

  it('draws everything anew after a resize', async () => {
    const { screen, terminal } = await open();
    terminal.draw(frame(['one', 'two']));
    let told = 0;
    terminal.onResize(() => {
      told += 1;
    });
    screen.output.columns = 50;
    screen.output.emit('resize');
    // Blessed waits a moment for the last of several resizes.
    await new Promise((done) => setTimeout(done, 400));
    expect(told).toBe(1);
    expect(terminal.size()).toEqual({ columns: 50, rows: ROWS });
    terminal.draw(frame(['one', 'two']));
    expect((await screen.lines()).slice(0, 2)).toEqual(['one', 'two']);
  });

  it('is left as it was: the main screen, the cursor shown; closing twice is closing once', async () => {
    const { screen, terminal } = await open();
    screen.emulator.write('');
    expect(screen.emulator.buffer.active.type).toBe('normal');
    terminal.draw(frame(['one']));
    await screen.lines();
    expect(screen.emulator.buffer.active.type).toBe('alternate');
    terminal.close();
    await screen.lines();
    expect(screen.emulator.buffer.active.type).toBe('normal');
    expect(screen.written.lastIndexOf('\x1b[?25h')).toBeGreaterThan(screen.written.lastIndexOf('\x1b[?25l'));
    screen.written = '';
    terminal.close();
    terminal.draw(frame(['late']));
    await screen.lines();
    expect(screen.written).toBe('');
  });
});

describe('keys', () => {
  it('are named as a person would name them, each pressed key once', async () => {
    const { screen, terminal } = await open();
    const names: string[] = [];
    terminal.onKey((key) => names.push(key.name));
    // xterm's sequences: CSI 5~ page up, CSI 6~ page down, CSI A to D arrows.
    for (const bytes of [
      'a',
      'Z',
      '3',
      '+',
      ' ',
      '\r',
      '\x1b[5~',
      '\x1b[6~',
      '\x1b[A',
      '\x1b[B',
      '\x1b[C',
      '\x1b[D',
      '\x03',
      '\x1b',
      '\x7f',
    ]) {
      screen.input.write(bytes);
      await new Promise((done) => setImmediate(done));
    }
    expect(names).toEqual([
      'a',
      'S-z',
      '3',
      '+',
      'space',
      'enter',
      'pageup',
      'pagedown',
      'up',
      'down',
      'right',
      'left',
      'C-c',
      'escape',
      'backspace',
    ]);
  });

  it('are no keys when the terminal sends what blessed does not know', () => {
    expect(keyName(undefined, { name: 'undefined' })).toBeUndefined();
    expect(keyName(undefined, undefined)).toBeUndefined();
  });
});

describe('lines that libraries print past Node', () => {
  it('never reach the screen, and ours do', async () => {
    const seated = seat('test/devices/print-natively.ts', []);
    expect(await seated.ended).toBe(0);
    expect(seated.bytes()).not.toContain('says something');
    for (const line of ['on the screen', 'our own trouble', 'our own line'])
      expect(seated.bytes()).toContain(line);
  });

  it('are not led away together with ours, where the terminal cannot be opened anew', async () => {
    const seated = seat('test/devices/print-natively.ts', [], { borrowed: true });
    expect(await seated.ended).toBe(0);
    for (const line of ['on the screen', 'our own trouble', 'our own line'])
      expect(seated.bytes()).toContain(line);
  });
});
