// The lines of a file, each made text only when it is asked for: a class's returns are a hundred megabytes, and most of
// their lines are looked at once.

const LINE_FEED = 10;
const RETURN = 13;
const BYTE_ORDER_MARK = '\uFEFF';

export class TextLines {
  readonly #bytes: Buffer;
  /** Where each line begins, and where one after the last would. */
  readonly #starts: number[] = [0];

  /** The text in UTF-8, its lines ended one way or the other; what is empty at its end is no line. */
  constructor(content: Uint8Array) {
    this.#bytes = plain(Buffer.from(content.buffer, content.byteOffset, content.byteLength));
    let from = this.#bytes.indexOf(LINE_FEED) + 1;
    for (; from > 0; from = this.#bytes.indexOf(LINE_FEED, from) + 1) this.#starts.push(from);
    this.#starts.push(this.#bytes.length + 1);
  }

  get count(): number {
    return this.#starts.length - 1;
  }

  /** A line without its end, counted from 0. */
  at(index: number): string {
    return this.#bytes.toString('utf8', this.#starts[index]!, this.#starts[index + 1]! - 1);
  }

  /** A line as far as a mark in it, without the mark; undefined where it has none. */
  until(index: number, mark: string): string | undefined {
    const start = this.#starts[index]!;
    const length = this.#bytes.subarray(start, this.#starts[index + 1]! - 1).indexOf(mark, 0, 'latin1');
    return length < 0 ? undefined : this.#bytes.toString('utf8', start, start + length);
  }

  /** The bytes of all lines before one, with their ends. */
  before(index: number): Uint8Array {
    return this.#bytes.subarray(0, this.#starts[index]!);
  }

  get text(): string {
    return this.#bytes.toString('utf8');
  }
}

/** Without a byte order mark, with line feeds alone, and with nothing empty at its end. */
function plain(bytes: Buffer): Buffer {
  const firstEnd = bytes.indexOf(LINE_FEED);
  // Who changes the ends of lines changes all of them.
  const isPlain =
    bytes[firstEnd - 1] !== RETURN && !bytes.subarray(0, 3).equals(Buffer.from(BYTE_ORDER_MARK));
  const text = isPlain ? bytes : Buffer.from(withLineFeeds(bytes.toString('utf8')));
  const end = text.findLastIndex((byte) => !isSpace(byte)) + 1;
  return text.subarray(0, end);
}

function withLineFeeds(text: string): string {
  return text.replace(/^\uFEFF/, '').replace(/\r\n/g, '\n');
}

function isSpace(byte: number): boolean {
  return byte === 32 || (byte >= 9 && byte <= 13);
}
